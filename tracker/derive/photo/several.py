"""One measure from the photographs of one foot, day and stage, with the error that they have together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tracker.derive.photo.average import average
from tracker.derive.uncertainty import Measure


@dataclass(frozen=True, slots=True)
class PhotoReading:
    """One reading: which photograph it is from ("" where that is not said), and its own sd, None where not known."""

    value: float
    photo: str = ""
    own_sd: float | None = None


def of_photos(readings: Sequence[PhotoReading], least_sd: float, unit: str) -> Measure:
    """The mean of the photographs, never surer than `least_sd`, what a reading from a photograph is good for.

    Where its points lie and how it was taken is each photograph's own error, so that it gets smaller with their
    number (see `average`). How the horse stood is the same in all photographs of an occasion, and none of
    them shows it: it is in `least_sd`, which stays. A photograph whose own error is not known counts with
    `least_sd`. One that was read more than once is one photograph still, by the mean of its readings.
    """
    each = [
        Measure(found.value, least_sd if found.own_sd is None else found.own_sd, unit, "photo")
        for found in _one_a_photo(readings)
    ]
    mean = average(each)
    how = f"mean of {len(readings)} by photo" if len(readings) > 1 else "photo"
    return mean._replace(sd=max(mean.sd, least_sd), how=how)


def _one_a_photo(readings: Sequence[PhotoReading]) -> Iterable[PhotoReading]:
    named: dict[str, list[PhotoReading]] = {}
    for number, reading in enumerate(readings):
        named.setdefault(reading.photo or f"\0{number}", []).append(reading)
    for several in named.values():
        known = [reading.own_sd for reading in several if reading.own_sd is not None]
        value = sum(reading.value for reading in several) / len(several)
        yield PhotoReading(value, several[0].photo, max(known, default=None))
