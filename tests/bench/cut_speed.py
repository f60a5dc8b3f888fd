"""How fast films are cut, side by side with two other ways of doing it.

    python -m tests.bench.cut_speed [--minutes 20] [--clips 10] [--seconds 10] [--no-moviepy] [--overlays]
        [--two-hours]

A 1080p recording (H.264, 30 pictures a second, 12 Mbit/s, a keyframe each
second, three B pictures) is made by repeating one drawn minute. In it a white
box appears and a tone of 1 kHz sounds at every whole second, for 0.1 s. The
same ranges are cut and joined

- here,
- by moviepy with its default settings,
- by the ffmpeg program copying at keyframes (inexact): one call per clip, one to join,

and the first film is checked picture by picture and second by second. With
``--overlays`` every clip has a note over it, for 3 s and for nearly all of it,
against the ffmpeg program doing the same in one pass with the same encoder.
"""

from __future__ import annotations

import argparse
import hashlib
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np

from annotate.intake.probe import probe
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.pieces import FilmOptions, FilmResult, Overlay, SourcePiece

FFMPEG = imageio_ffmpeg.get_ffmpeg_exe()
RATE = 30
NOTE = (640, 360)


def run(*arguments: str | Path) -> None:
    subprocess.run([FFMPEG, "-v", "error", "-nostdin", "-y", *map(str, arguments)], check=True)


def minute(folder: Path) -> Path:
    """The drawn minute: 12 Mbit/s of moving picture with noise."""
    path = folder / "minute.mp4"
    if path.exists():
        return path
    box = "drawbox=x=1600:y=800:w=240:h=240:c=black:t=fill,drawbox=x=1600:y=800:w=240:h=240:c=white:t=fill:"
    picture = f"testsrc2=s=1920x1080:r=30,noise=alls=12:allf=t,{box}enable='lt(mod(t,1),0.1)'"
    params = "keyint=30:min-keyint=30:scenecut=0:bframes=3:b-adapt=0:open-gop=0"
    colours = ("-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv")
    turn = ("-vf", "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p")
    coding = ("-c:v", "libx264", "-preset", "veryfast", "-b:v", "12M", "-maxrate", "12M", "-bufsize", "12M")
    run("-f", "lavfi", "-i", picture, "-t", "60", *turn, *coding, "-x264-params", params, *colours, path)
    return path


def repeated(folder: Path, minutes: int) -> Path:
    path = folder / f"recording{minutes}.mp4"
    if not path.exists():
        tone = "aevalsrc='0.5*sin(2*PI*1000*t)*lt(mod(t,1),0.1)':s=48000"
        sound = ("-f", "lavfi", "-t", str(minutes * 60), "-i", tone)
        coding = ("-c:v", "copy", "-c:a", "aac", "-aac_coder", "fast")
        run("-stream_loop", str(minutes - 1), "-i", minute(folder), *sound, *coding, path)
    return path


class Time(float):
    """Seconds by the clock, with the seconds of processor time that went into them (children included)."""

    processor: float

    def __format__(self, form: str) -> str:
        return f"{float(self):{form}} s (processor {self.processor:.1f} s)"


def processor_s() -> float:
    ours, theirs = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return ours.ru_utime + ours.ru_stime + theirs.ru_utime + theirs.ru_stime


def timed(work: Callable[[], object]) -> Time:
    start, busy = time.perf_counter(), processor_s()
    work()
    made = Time(time.perf_counter() - start)
    made.processor = processor_s() - busy
    return made


def by_moviepy(path: Path, ranges: list[tuple[int, int]], target: Path) -> None:
    from moviepy import VideoFileClip, concatenate_videoclips

    with VideoFileClip(str(path)) as whole:
        clips = [whole.subclipped(start / 1000, end / 1000) for start, end in ranges]
        concatenate_videoclips(clips).write_videofile(str(target), logger=None)


def by_keyframes(path: Path, ranges: list[tuple[int, int]], folder: Path) -> None:
    lines = []
    for n, (start, end) in enumerate(ranges):
        part = folder / f"part{n}.mp4"
        run("-ss", str(start / 1000), "-i", path, "-t", str((end - start) / 1000), "-c", "copy", part)
        lines.append(f"file '{part.name}'\n")
    (folder / "list.txt").write_text("".join(lines))
    run("-f", "concat", "-safe", "0", "-i", folder / "list.txt", "-c", "copy", folder / "keyframes.mp4")


def prints(path: Path) -> list[str]:
    with av.open(str(path)) as film:
        film.streams.video[0].thread_type = "AUTO"
        return [hashlib.md5(frame.to_ndarray().tobytes()).hexdigest() for frame in film.decode(video=0)]


def check_pictures(folder: Path, result: FilmResult) -> None:
    """Every picture against the drawn minute: the copied ones by hash, the encoded ones by being the nearest."""
    with av.open(str(minute(folder))) as film:
        film.streams.video[0].thread_type = "AUTO"
        small = [frame.reformat(480, 270, "gray").to_ndarray()[::3, ::3].astype(int) for frame in film.decode(video=0)]
    source = prints(minute(folder))
    same = wrong = 0
    with av.open(str(result.path)) as film:
        film.streams.video[0].thread_type = "AUTO"
        pictures = film.decode(video=0)
        for placed in result.plan.placed:
            first = round(placed.source_start * RATE)
            for n in range(first, first + placed.pictures):
                frame = next(pictures)
                if hashlib.md5(frame.to_ndarray().tobytes()).hexdigest() == source[n % len(source)]:
                    same += 1
                    continue
                got = frame.reformat(480, 270, "gray").to_ndarray()[::3, ::3].astype(int)
                near = range(n - 3, n + 4)
                wrong += min(near, key=lambda k: np.abs(small[k % len(small)] - got).mean()) != n
        left = sum(1 for _ in pictures)
    print(f"pictures: {result.plan.pictures}, identical by hash {same} (copied {result.copied}), ", end="")
    print(f"encoded {result.encoded}, not the asked picture {wrong}, too many {left}")


def check_sound(result: FilmResult, ranges: list[tuple[int, int]]) -> None:
    """The white box against the tone, in the first, middle and last clip, and the film's length."""
    tone = []
    with av.open(str(result.path)) as film:
        at = 0
        for frame in film.decode(audio=0):
            place = round(frame.pts * frame.time_base * frame.sample_rate)
            tone.append(np.zeros(max(0, place - at), np.float32))
            tone.append(np.abs(frame.to_ndarray()[0]))
            at = place + frame.samples
    heard = np.concatenate(tone)
    with av.open(str(result.path)) as film:
        film.streams.video[0].thread_type = "AUTO"
        white = [bool(frame.to_ndarray()[920, 1720] > 150) for frame in film.decode(video=0)]
        length = film.duration / 1e6
    begins = [n / RATE for n in range(1, len(white)) if white[n] and not white[n - 1]]
    worst = {}
    for name, clip in (("start", 0), ("middle", len(ranges) // 2), ("end", len(ranges) - 1)):
        placed = result.plan.placed[clip]
        inside = [one for one in begins if placed.start + Fraction(1, 5) < one < placed.end - Fraction(1, 5)]
        offsets = []
        for one in inside:
            part = heard[round((one - 0.1) * 48000) : round((one + 0.1) * 48000)]
            offsets.append(abs(int(np.argmax(part > 0.1)) / 48000 - 0.1))
        worst[name] = max(offsets) * 1000
    print("sound against picture: " + ", ".join(f"{name} {value:.1f} ms" for name, value in worst.items()))
    asked = sum(end - start for start, end in ranges) / 1000
    print(f"length: asked {asked:.3f} s, pictures {len(white) / RATE:.3f} s, file {length:.3f} s")


def overlaid(path: Path, ranges: list[tuple[int, int]], folder: Path, shown_ms: int) -> None:
    """Every clip with a note over it for a while: here and by ffmpeg in one pass."""
    probed = probe(path)
    note = np.zeros((NOTE[1], NOTE[0], 4), np.uint8)
    note[..., 0], note[..., 3] = 250, 200
    png = folder / "note.png"
    with av.open(str(png), "w", format="image2", options={"update": "1"}) as out:
        stream = out.add_stream("png", rate=1, width=NOTE[0], height=NOTE[1], pix_fmt="rgba")
        out.mux(stream.encode(av.VideoFrame.from_ndarray(note, format="rgba")))
        out.mux(stream.encode(None))
    pieces = [
        SourcePiece(path, start, end, probed, overlays=(Overlay(1000, 1000 + shown_ms, note, 100, 100),))
        for start, end in ranges
    ]
    ours = timed(lambda: make_film(pieces, folder / "notes.mp4"))
    inputs, steps, names = [], [], []
    for n, (start, end) in enumerate(ranges):
        inputs += ["-ss", str(start / 1000), "-t", str((end - start) / 1000), "-i", str(path)]
        enable = f"enable='between(t,1,{1 + shown_ms / 1000})'"
        steps.append(f"[{n}:v][{len(ranges)}:v]overlay=100:100:{enable}[v{n}]")
        names.append(f"[v{n}][{n}:a]")
    graph = ";".join(steps) + ";" + "".join(names) + f"concat=n={len(ranges)}:v=1:a=1[v][a]"
    coding = ("-c:v", "libx264", "-preset", FilmOptions().preset, "-crf", str(FilmOptions().crf), "-c:a", "aac")
    target = folder / "notes-ffmpeg.mp4"
    theirs = timed(
        lambda: run(*inputs, "-i", png, "-filter_complex", graph, "-map", "[v]", "-map", "[a]", *coding, target)
    )
    print(f"notes of {shown_ms / 1000:g} s on every clip: here {ours:.2f}, ffmpeg in one pass {theirs:.2f}: ", end="")
    busy = theirs.processor / ours.processor
    print(f"{theirs / ours:.2f} times as fast, by processor time {busy:.2f} (bar: at least 1)", flush=True)


MEMORY = """
import sys
from pathlib import Path
from annotate.intake.probe import probe
from tests.bench.cut_speed import cut, peak_mb
import pickle
path, target, ranges = Path(sys.argv[1]), Path(sys.argv[2]), eval(sys.argv[3])
probed = pickle.loads(Path(sys.argv[4]).read_bytes())
before = peak_mb()
result = cut(path, ranges, target, probed)
print(f"{result.plan.pictures} pictures, {result.copied} copied: peak {peak_mb():.0f} MB ({before:.0f} MB before)")
"""


def peak_mb() -> float:
    """The most memory this process has held. Linux carries ``ru_maxrss`` over from the parent, so it is asked apart."""
    status = Path("/proc/self/status")
    if status.exists():
        line = next(one for one in status.read_text().splitlines() if one.startswith("VmHWM"))
        return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1024 if sys.platform != "darwin" else 1 << 20)


def cut(path: Path, ranges: list[tuple[int, int]], target: Path, probed: object = None) -> FilmResult:
    known = probed or probe(path)
    return make_film([SourcePiece(path, *one, known) for one in ranges], target)  # type: ignore[arg-type]


def two_hours(folder: Path) -> None:
    """Peak memory of cutting a two-hour recording: ten clips, and all of it."""
    import pickle

    path = repeated(folder, 120)
    known = folder / "probe.pickle"
    known.write_bytes(pickle.dumps(probe(path)))
    for ranges in ([(n * 700_000 + 1234, n * 700_000 + 11_234) for n in range(10)], [(1234, 7_190_000)]):
        command = [sys.executable, "-c", MEMORY, path, folder / "long.mp4", repr(ranges), known]
        subprocess.run(list(map(str, command)), check=True)


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--minutes", type=int, default=20)
    words.add_argument("--clips", type=int, default=10)
    words.add_argument("--seconds", type=int, default=10)
    words.add_argument("--folder", type=Path, help="keep the recordings here for the next run")
    words.add_argument("--no-moviepy", action="store_true")
    words.add_argument("--overlays", action="store_true")
    words.add_argument("--two-hours", action="store_true")
    told = words.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = told.folder or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        path = repeated(folder, told.minutes)
        step = told.minutes * 60_000 // told.clips
        # No range begins or ends on a keyframe, nor on a picture.
        ranges = [
            (n * step + 3_217 + 377 * n, n * step + 3_217 + 377 * n + told.seconds * 1000) for n in range(told.clips)
        ]
        probed = probe(path)
        made: list[FilmResult] = []
        ours = timed(lambda: made.append(cut(path, ranges, Path(scratch) / "ours.mp4", probed)))
        keyframes = timed(lambda: by_keyframes(path, ranges, Path(scratch)))
        again = timed(lambda: made.append(cut(path, ranges, Path(scratch) / "ours.mp4", probed)))
        print(f"here {ours:.2f} and {again:.2f}; copying at keyframes {keyframes:.2f}: ", end="")
        print(f"{ours / keyframes:.1f} and {again / keyframes:.1f} times, ", end="")
        print(f"by processor time {again.processor / keyframes.processor:.1f} (bar: at most 6)", flush=True)
        if not told.no_moviepy:
            theirs = timed(lambda: by_moviepy(path, ranges, Path(scratch) / "moviepy.mp4"))
            times, busy = theirs / max(ours, again), theirs.processor / max(ours.processor, again.processor)
            print(f"moviepy {theirs:.1f}: {times:.1f} times slower, ", end="")
            print(f"by processor time {busy:.1f} (bar: at least 20)", flush=True)
        check_pictures(folder, made[-1])
        check_sound(made[-1], ranges)
        if told.overlays:
            for shown_ms in (3000, told.seconds * 1000 - 1000):
                overlaid(path, ranges, Path(scratch), shown_ms)
        if told.two_hours:
            two_hours(folder)


if __name__ == "__main__":
    main()
