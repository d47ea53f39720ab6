"""The stretch of a recording in which the plate ran evenly, and what spoils one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from programs.plates.recording.gum import FloatArray
from programs.plates.recording.reading import Recording
from programs.plates.recording.refused import BadRecording

#: Least length of the stretch, and the most of it that is read.
LEAST_S, MOST_S = 4.0, 20.0
BLOCK_S = 0.5
#: Less motion than this is none, m/s2.
LEAST_M_S2 = 0.05
#: Blocks that count as running, of the strongest; and how far an even one may be from the middle.
_RUNNING, _EVEN = 0.5, 0.15
#: A step of time this many times the usual is a gap.
GAP = 3.5
#: An axis that moves less than this share of the strongest is not looked at for clipping.
_MOVES_SHARE = 0.2
#: Samples at the end of the range, of all and for each one just beside, that mean clipping.
_CLIPPED_SHARE, _CLIPPED_TIMES, _CLIPPED_LEAST = 0.004, 6.0, 5
#: Tops that spread less than this over a turn, in turns, are one place of it: of a motion that is
#: cut off by as little, the top is lost by 1 % (project choice).
_ONE_PLACE = 0.012


@dataclass(frozen=True, kw_only=True, eq=False)
class Window:
    """The part of a recording that is worked on.

    first, last   its samples, the last one included
    """

    first: int
    last: int
    from_s: float
    to_s: float

    @property
    def seconds(self) -> float:
        """Return its length."""
        return self.to_s - self.from_s

    def of(self, values: FloatArray) -> FloatArray:
        """Return the part of something that lies in it."""
        return values[self.first : self.last + 1]


def steady(found: Recording) -> Window:
    """Return the longest stretch of even running. Raises BadRecording where there is none."""
    blocks = _blocks(found.time_s)
    size = _block_rms(found, blocks)
    gapless = ~_gap_in(found.time_s, blocks)
    running = size > _RUNNING * np.quantile(size, 0.9)
    middle = float(np.median(size[running])) if running.any() else 0.0
    if middle < LEAST_M_S2:
        raise BadRecording("Nothing moves in this recording. Did the plate run?")
    even = running & (np.abs(size / middle - 1) <= _EVEN) & gapless
    start, end = _longest(even)
    # The first and the last block may hold the plate's start and stop.
    start, end = start + (start > 0), end - (end < even.size)
    if (end - start) * BLOCK_S < LEAST_S:
        raise BadRecording(_why_short(found, gapless))
    end = min(end, start + int(MOST_S / BLOCK_S))
    inside = np.flatnonzero((blocks >= start) & (blocks < end))
    first, last = int(inside[0]), int(inside[-1])
    return Window(
        first=first,
        last=last,
        from_s=float(found.time_s[first]),
        to_s=float(found.time_s[last]),
    )


def _blocks(time_s: FloatArray) -> npt.NDArray[np.int64]:
    return (time_s / BLOCK_S).astype(np.int64)


def _block_rms(found: Recording, blocks: npt.NDArray[np.int64]) -> FloatArray:
    """Return the size of motion in each half second, its mean taken out."""
    count = np.bincount(blocks).astype(np.float64)
    filled = np.maximum(count, 1)
    squares = np.zeros(count.size)
    for axis in found.axes.T:
        mean = np.bincount(blocks, axis) / filled
        squares += np.bincount(blocks, (axis - mean[blocks]) ** 2) / filled
    return np.sqrt(squares)


def _gap_in(time_s: FloatArray, blocks: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
    steps = np.diff(time_s)
    wide = steps > GAP * np.median(steps)
    gaps = np.zeros(int(blocks[-1]) + 1, dtype=bool)
    for before, after in zip(blocks[:-1][wide], blocks[1:][wide], strict=True):
        gaps[before : after + 1] = True
    return gaps


def _longest(even: npt.NDArray[np.bool_]) -> tuple[int, int]:
    """Return where the longest run begins and the block after its last."""
    edges = np.diff(np.concatenate(([0], even.astype(np.int8), [0])))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    if not starts.size:
        return 0, 0
    longest = int(np.argmax(ends - starts))
    return int(starts[longest]), int(ends[longest])


def _why_short(found: Recording, gapless: npt.NDArray[np.bool_]) -> str:
    if found.seconds < LEAST_S + 2 * BLOCK_S:
        return (
            f"The recording lasts {found.seconds:.1f} s. Record half a minute; "
            f"{LEAST_S:g} s of even running are the least."
        )
    gaps = int(np.count_nonzero(~gapless))
    if gaps:
        return (
            f"Samples are missing in the recording (gaps in {gaps} half seconds), and no "
            f"{LEAST_S:g} s without a gap are left."
        )
    return f"There are no {LEAST_S:g} s in which the plate ran evenly."


def check_range(found: Recording, window: Window, hz: float) -> None:
    """Refuse a recording that was cut off at the end of the instrument's range.

    hz  of the plate: tops that lie at one place of its turn are those of a sampling in step
    """
    turns = hz * window.of(found.time_s)
    sizes = np.std(window.of(found.axes), axis=0)
    for index, name in enumerate(found.names):
        # What hardly moves adds nothing, and a few coarse steps of it look cut off.
        if sizes[index] < _MOVES_SHARE * float(np.max(sizes)):
            continue
        values = window.of(found.axes[:, index])
        for end in (values, -values):
            if _is_clipped(end, float(found.resolution[index]), turns):
                most = float(np.max(np.abs(values))) / 9.80665
                raise BadRecording(
                    f"Axis {name} is cut off at {most:.2f} g: the motion goes past the range of "
                    "the instrument. Set a larger range, or use another instrument."
                )


def _is_clipped(values: FloatArray, resolution: float, turns: FloatArray) -> bool:
    """Tell whether more samples sit at the top than a motion, noise or coarse steps put there.

    The top step holds 2.41 times as many as the step under it where the top is round as a sine's,
    and 5.3 times where it is flat; what is cut off sits at one number. So does the top of a plate
    with whose turns the sampling keeps step, but at one place of the turn alone.
    """
    step = max(resolution, 0.005 * float(np.ptp(values)))
    top = float(np.max(values))
    at_top = int(np.count_nonzero(values > top - step / 2))
    under = int(np.count_nonzero((values > top - 1.5 * step) & (values <= top - step / 2)))
    exactly = int(np.count_nonzero(values == top))
    many = max(_CLIPPED_LEAST, _CLIPPED_SHARE * values.size)
    if exactly < many or at_top <= _CLIPPED_TIMES * max(under, 1):
        return False
    return _spread(turns[values == top]) > _ONE_PLACE


def _spread(turns: FloatArray) -> float:
    """Return how far places of a turn lie apart, as the circular deviation in turns."""
    together = abs(np.mean(np.exp(2j * np.pi * turns)))
    return float(np.sqrt(-2 * np.log(max(together, 1e-12))) / (2 * np.pi))
