"""What is taken for granted about a photograph where the picture does not say it, and the lines drawn on it."""

from __future__ import annotations

from tracker.reference.figure import DERIVED, PRACTICE, PROVISIONAL, PUBLISHED, Figure

FOCAL = Figure(
    "focal length, as a part of the picture's long side", 0.75, "1", PROVISIONAL,
    "a telephone's main camera: about 26 to 28 mm on a frame 36 mm wide",
)  # fmt: skip
FOCAL_SD = Figure(
    "error of that focal length, as a part of it", 0.12, "1", PROVISIONAL,
    "main cameras of telephones lie between about 24 and 30 mm; a careful guess",
)  # fmt: skip
POINT_SD = Figure(
    "error of a marked point in x and in y, as a part of the picture's long side", 0.00075, "1", DERIVED,
    "1 mm (1 SD) on a foot at 1 m from a camera with that focal length",
)  # fmt: skip
TILT_SD = Figure(
    "how far the camera is from square to the foot, to the side and in height", 8.66, "deg", PROVISIONAL,
    "anything within 15°, each as likely as the others; a careful guess",
)  # fmt: skip
SCALE_SD = Figure(
    "error of a given scale, as a part of it", 0.015, "1", PROVISIONAL,
    "a scale 15 mm nearer the camera than the foot's middle, at 1 m",
)  # fmt: skip
NEAR = Figure(
    "a camera nearer than this is warned about where lengths are measured", 700.0, "mm", DERIVED,
    "a scale 10 mm before the measured plane makes lengths read more than 1.4 % short, (D − z)/D",
)  # fmt: skip
SCALES_DIFFER = Figure(
    "two scales of one picture that differ by more than this beyond their error, as a part", 0.015, "1",
    PROVISIONAL, SCALE_SD.source,
)  # fmt: skip

CARD_LONG = Figure("long side of a bank card", 85.60, "mm", PUBLISHED, "ISO/IEC 7810, ID-1")
CARD_SHORT = Figure("short side of a bank card", 53.98, "mm", PUBLISHED, "ISO/IEC 7810, ID-1")

_BAREFOOT = "many barefoot trimmers; others say 20 to 30°"
HAIRLINE_GUIDE = Figure("hairline to the ground, from the side", 30.0, "deg", PRACTICE, _BAREFOOT)
_DEPTH = "depth of a level line under the hairline at the heel"
HEEL_DEPTH = Figure(_DEPTH, 28.575, "mm", PRACTICE, "1 1/8 in, barefoot trimmers")
HEEL_DEPTH_DEEPER = Figure(_DEPTH, 31.75, "mm", PRACTICE, "1 1/4 in, barefoot trimmers")
LIVE_FOOT = "A line on a photograph describes the foot and no more. The live foot decides."
