"""The tunes of the demo songs, held against their chords and against a singer's voice.

Both rules are common practice, no source.
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from chartwalk.chord import ChordSymbol
from chartwalk.leadfile import loads
from chartwalk.pitch import Pitch
from chartwalk.roadmap import Step, unroll
from chartwalk.song import Song
from chartwalk.tune import TuneNote, tune_of

OCTAVE, STEP = 12, 2  # semitones


def test_what_rubs_is_beside_a_step_and_never_on_the_first_beat(songs: dict[str, Song]) -> None:
    for name, song in songs.items():
        assert _harsh(song) == [], name


def test_what_rubs_is_found(songs: dict[str, Song]) -> None:
    """The 4th of a major triad: on the first beat, between leaps, passing, after a rest."""
    tune = "F4:1 E4:3 | C4:2 F4:1 C5:1 | E4:1 F4:1 G4:2 | r:2 F4:2"
    chart = loads(f"title T\nmeter 4/4\n\nchords | C | C | C | C |\ntune | {tune} |\n").chart
    song = Song(songs["first-lamp"].path, chart, unroll(chart))
    assert _harsh(song) == ["1: F4 over C", "2: F4 over C", "4: F4 over C"]


def test_no_leap_without_a_rest_is_wider_than_an_octave(songs: dict[str, Song]) -> None:
    for name, song in songs.items():
        pitches = [note.pitch for _, note in _notes(song)]
        wide = [f"{a} {b}" for a, b in pairwise(pitches) if a and b and _apart(a, b) > OCTAVE]
        assert wide == [], name


def _notes(song: Song) -> Iterator[tuple[Step, TuneNote]]:
    return ((step, note) for step in song.steps for note in tune_of(song, step))


def _apart(a: Pitch, b: Pitch) -> int:
    return abs(a.midi - b.midi)


def _harsh(song: Song) -> list[str]:
    """Notes, with their printed bar, that rub on its first beat or with no step before or after."""
    notes = list(_notes(song))
    pitches = [note.pitch for _, note in notes]
    beside = zip([None, *pitches[:-1]], [*pitches[1:], None], strict=True)
    return [
        f"{song.bars[step.bar].number}: {note.pitch} over {symbol.text}"
        for (step, note), near in zip(notes, beside, strict=True)
        if note.pitch
        for at, symbol in _chords_under(song, step, note)
        if _rubs(note.pitch, symbol)
        and (not at or not any(other and _apart(other, note.pitch) <= STEP for other in near))
    ]


def _chords_under(song: Song, step: Step, note: TuneNote) -> Iterator[tuple[Fraction, ChordSymbol]]:
    """The chords that sound under a note, each with the place where the two first meet."""
    chords = song.soundings[step.bar]
    ends = [chord.at for chord in chords[1:]] + [song.bars[step.bar].length]
    for chord, end in zip(chords, ends, strict=True):
        at = max(chord.at, note.at)
        if chord.symbol and at < min(end, note.at + note.length):
            yield at, chord.symbol


def _rubs(pitch: Pitch, symbol: ChordSymbol) -> bool:
    """Whether a note lies a semitone above a tone of a chord, and the chord does not ask for it."""
    tones = {tone.name.pitch_class for tone in symbol.palette.tones}
    here = pitch.name.pitch_class
    return here not in tones and (here - 1) % OCTAVE in tones
