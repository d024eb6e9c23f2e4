"""What the grades of a lameness scale mean, in our own words; nothing where nobody published any."""

from __future__ import annotations

GRADES: dict[str, dict[int, str]] = {
    # American Association of Equine Practitioners, lameness scale (published).
    "0-5": {
        0: "no lameness seen in any situation",
        1: "hard to see, comes and goes whatever you ask for",
        2: "hard to see at walk or straight trot, but there each time in one situation: rider, circle, slope or hard ground",
        3: "seen each time at trot, in all situations",
        4: "plain to see at walk",
        5: "little or no weight on the limb, moving or standing, or cannot move",
    },
    # Only its ends have words; its origin is not known, and none are published for the grades between.
    "0-10": {0: "no lameness seen", 10: "bears no weight"},
}
"""By scale and whole grade."""
