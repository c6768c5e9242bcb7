"""What each mark of a chord symbol means, rule by rule, and the choices where texts differ.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom* (MT21C): triads, seventh chords, jazz
chord symbols, altered dominants, slash chords. Open Music Theory (OMT), triads. MusicXML 4.0,
``kind``. ABC 2.1, section 4.18.
"""

import pytest

from chartwalk.chord import ChordSymbol

# Source of the rule, symbol, degrees.
RULES = [
    ("MT21C triads, OMT triads: no mark is a major triad", "C", "1 3 5"),
    ("MT21C triads: m, min, - lower the third", "Cm", "1 b3 5"),
    ("MT21C triads: m, min, - lower the third", "Cmin", "1 b3 5"),
    ("MT21C triads: m, min, - lower the third", "C-", "1 b3 5"),
    ("MT21C triads: m, min, - lower the third", "C−", "1 b3 5"),
    ("MT21C jazz chord symbols: maj raises only the seventh", "Cmaj7", "1 3 5 7"),
    ("MT21C jazz chord symbols: maj raises only the seventh", "C△7", "1 3 5 7"),
    ("MT21C jazz chord symbols: maj raises only the seventh", "C△9", "1 3 5 7 9"),
    ("MT21C jazz chord symbols: maj raises only the seventh", "Cmaj11", "1 3 5 7 9 11"),
    ("MT21C jazz chord symbols: maj raises only the seventh", "C△13", "1 3 5 7 9 11 13"),
    ("MT21C jazz chord symbols: maj raises only the seventh", "Cm△7", "1 b3 5 7"),
    ("MT21C, MusicXML kind: ° is diminished", "C°", "1 b3 b5"),
    ("MT21C, MusicXML kind: dim is diminished", "Cdim", "1 b3 b5"),
    ("MT21C, MusicXML kind: °7 has a diminished seventh", "C°7", "1 b3 b5 bb7"),
    ("MT21C seventh chords, MusicXML kind: ø is m7b5", "Cø", "1 b3 b5 b7"),
    ("MT21C seventh chords, MusicXML kind: ø7 is m7b5", "Cø7", "1 b3 b5 b7"),
    ("MT21C seventh chords, MusicXML kind: m7b5", "Cm7b5", "1 b3 b5 b7"),
    ("MT21C: + after the root is an augmented triad", "C+", "1 3 #5"),
    ("MT21C: C+7 has a minor seventh", "C+7", "1 3 #5 b7"),
    ("MT21C chord symbol specifics: + before 5 sharpens it", "C7(+5)", "1 3 #5 b7"),
    ("MT21C chord symbol specifics: - before 5 flattens it", "C7(-5)", "1 3 b5 b7"),
    ("MT21C chord symbol specifics: + before 9", "C7(+9)", "1 3 5 b7 #9"),
    ("MT21C chord symbol specifics: - before 9", "C7-9", "1 3 5 b7 b9"),
    ("MT21C chord symbol specifics: + before 11", "C9(+11)", "1 3 5 b7 9 #11"),
    ("MT21C chord symbol specifics: - before 13", "C7(-13)", "1 3 5 b7 b13"),
    ("MT21C: 9 implies the seventh", "C9", "1 3 5 b7 9"),
    ("MT21C: 11 implies 7 and 9", "C11", "1 3 5 b7 9 11"),
    ("MT21C: 13 implies 7, 9 and 11", "C13", "1 3 5 b7 9 11 13"),
    ("MT21C: 9(13) has no 11", "C9(13)", "1 3 5 b7 9 13"),
    ("MT21C: 6 is counted in the major scale", "Cm6", "1 b3 5 6"),
    ("MT21C: 9 is counted in the major scale", "Cm9", "1 b3 5 b7 9"),
    ("MT21C: 11 is counted in the major scale", "Cm11", "1 b3 5 b7 9 11"),
    ("MT21C: 13 is counted in the major scale", "Cm13", "1 b3 5 b7 9 11 13"),
    ("MT21C: add9 has no seventh", "Cadd9", "1 3 5 9"),
    ("MT21C: add9 has no seventh", "C(add9)", "1 3 5 9"),
    ("MT21C: add9 has no seventh", "Cm(add9)", "1 b3 5 9"),
    ("MT21C: add9 has no seventh; no brackets after m", "Cmadd9", "1 b3 5 9"),
    ("MT21C: 11 in a 13 usually left out by players", "C13(no11)", "1 3 5 b7 9 13"),
    ("MT21C: 11 in a 13 usually left out by players", "C13no11", "1 3 5 b7 9 13"),
    ("MT21C: sus is the fourth in place of the third", "Csus", "1 4 5"),
    ("MT21C: sus is the fourth in place of the third", "C9sus", "1 4 5 b7 9"),
    ("MT21C: it is 11 when the third is there", "C7(11)", "1 3 5 b7 11"),
    ("MT21C: #11 when the natural fifth is there", "C7(#11)", "1 3 5 b7 #11"),
    ("MT21C: b5 when it is not", "C7(b5)", "1 3 b5 b7"),
    ("MT21C: b13 keeps the natural fifth", "C7(b13)", "1 3 5 b7 b13"),
    ("MT21C: #5 does not", "C7(#5)", "1 3 #5 b7"),
    ("MT21C: 6/9 has no seventh", "C6/9", "1 3 5 6 9"),
    ("MT21C: 6/9 has no seventh", "Cm6/9", "1 b3 5 6 9"),
    ("MT21C: the accidental right after the letter is the root's", "Cb9", "1 3 5 b7 9"),
    ("MT21C: C(b9) alters the ninth", "C(b9)", "1 3 5 b9"),
    ("MT21C: C7(b9) alters the ninth", "C7(b9)", "1 3 5 b7 b9"),
    ("MT21C: C#-6 is minor with a major sixth", "C#−6", "1 b3 5 6"),
    ("MT21C: C#(add-6) is major with a minor sixth", "C#(add−6)", "1 3 5 b6"),
    ("MT21C: C#(add-6) is major with a minor sixth", "C#(add-6)", "1 3 5 b6"),
    ("MT21C: C#(addb6), the same", "C#(addb6)", "1 3 5 b6"),
]
# More forms of print and of the keyboard, each with the degrees of the form above that it stands
# for. Common practice, no source, but where one is named.
FORMS = [
    ("ABC 4.18: a natural sign is read", "C7(♮13)", "1 3 5 b7 13"),
    ("ABC 4.18: a natural sign is read", "Em7(♮5)", "1 b3 5 b7"),
    ("ABC 4.18: a natural sign is read", "C7♭9♮9", "1 3 5 b7 9"),
    ("the word for the sign", "Cmajor", "1 3 5"),
    ("the word for the sign", "Cminor", "1 b3 5"),
    ("the word for the sign", "C major 7", "1 3 5 7"),
    ("the word for the sign", "C minor 7", "1 b3 5 b7"),
    ("the word for the sign", "Cdiminished7", "1 b3 b5 bb7"),
    ("the word for the sign", "Caugmented", "1 3 #5"),
    ("dom before the number (music21: dom7)", "Cdom7", "1 3 5 b7"),
    ("dom before the number (music21: dom9)", "Cdom9", "1 3 5 b7 9"),
    ("dom before the number (music21: dom13)", "Cdom13", "1 3 5 b7 9 11 13"),
    ("M after the number", "C7M", "1 3 5 7"),
    ("maj after the number", "C7maj", "1 3 5 7"),
    ("j for major", "Cj7", "1 3 5 7"),
    ("j for major", "Cj9", "1 3 5 7 9"),
    ("a bare major sign behind minor means the seventh", "CmMaj", "1 b3 5 7"),
    ("a bare major sign behind minor means the seventh", "Cm(maj)", "1 b3 5 7"),
    ("a bare triangle means the seventh", "Cm△", "1 b3 5 7"),
    ("#7 is the major seventh (music21: m#7)", "Cm#7", "1 b3 5 7"),
    ("#7 is the major seventh (music21: m#7)", "Cm(#7)", "1 b3 5 7"),
    ("half-diminished in words", "Chalf-dim", "1 b3 b5 b7"),
    ("half-diminished in words", "Chalfdim7", "1 b3 b5 b7"),
    ("half-diminished in words", "Chdim7", "1 b3 b5 b7"),
    ("half-diminished in words", "C half-diminished", "1 b3 b5 b7"),
    ("ø13 (music21: half-diminished-13th)", "Cø13", "1 b3 b5 b7 9 11 13"),
    ("a major seventh on half-diminished", "Cø(maj7)", "1 b3 b5 7"),
    ("a slash between alterations", "C7(b9/#11)", "1 3 5 b7 b9 #11"),
    ("a slash between alterations", "C7b9/#11", "1 3 5 b7 b9 #11"),
    ("a slash before an extension", "C7/13", "1 3 5 b7 13"),
    ("a slash before an extension", "Cm7/11", "1 b3 5 b7 11"),
    ("a slash before an extension", "C/9", "1 3 5 9"),
    ("a slash before maj7", "Cm/maj7", "1 b3 5 7"),
    ("a slash before maj7", "Cm/∆7", "1 b3 5 7"),
    ("a number in brackets is added", "C(2)", "1 2 3 5"),
    ("a number in brackets is added", "C(4)", "1 3 4 5"),
    ("a number in brackets is added", "C(9)", "1 3 5 9"),
    ("a number in brackets is added", "C(6)", "1 3 5 6"),
    ("a number in brackets is added", "C7(9,13)", "1 3 5 b7 9 13"),
    ("add with the number in brackets", "Cadd(9)", "1 3 5 9"),
    ("add with the number in brackets", "Cm add(11)", "1 b3 5 11"),
    ("add with the number in brackets", "C7add(b9)", "1 3 5 b7 b9"),
    ("add with a capital", "CAdd9", "1 3 5 9"),
    ("add counts from a dominant chord (MusicXML 4.0 degree-alter)", "Cadd7", "1 3 5 b7"),
    ("add counts from a dominant chord (MusicXML 4.0 degree-alter)", "Cadd#7", "1 3 5 7"),
    ("b7 is that of a dominant chord", "Caddb7", "1 3 5 b7"),
    ("several left out", "Comit3,5", "1"),
    ("several left out", "C9(no3,5)", "1 b7 9"),
    ("no with a capital", "CNo3", "1 5"),
    ("omit with a capital", "COmit5", "1 3"),
    ("no3rd, no5th", "C7no3rd", "1 5 b7"),
    ("no3rd, no5th", "Cno5th", "1 3"),
    ("fourths stacked", "Cquartal", "1 4 b7"),
    ("fourths stacked", "Cquartal3", "1 4 b7"),
    ("fourths stacked", "Cquartal4", "1 b3 4 b7"),
    ("suspended both ways", "Csus2sus4", "1 2 4 5"),
    ("suspended both ways", "Csus24", "1 2 4 5"),
    ("sus before the number", "Csus7", "1 4 5 b7"),
    ("sus before the number", "Csus13", "1 4 5 b7 9 13"),
    ("the sixth with a major sign", "Cmaj6", "1 3 5 6"),
    ("the sixth with a major sign", "CM6/9", "1 3 5 6 9"),
    ("the sixth with an alteration", "C69#11", "1 3 5 6 9 #11"),
    ("the seventh's suspended second", "C7sus2", "1 2 5 b7"),
]
# Symbols that could be taken for something else: what is read, and by which rule.
DOUBTFUL = [
    ("MT21C: + after the root is augmented", "C+9", "1 3 #5 b7 9"),
    ("MT21C: + after the root is augmented; no 11 is raised", "C+11", "1 3 #5 b7 9 11"),
    ("MT21C: + before 9 behind a number sharpens it", "C7+9", "1 3 5 b7 #9"),
    ("MT21C: + before 5 sharpens it", "C+5", "1 3 #5"),
    ("MT21C: + before 5 sharpens it", "Cm7+5", "1 b3 #5 b7"),
    ("MT21C: - after the root is minor", "C-9", "1 b3 5 b7 9"),
    ("MT21C: - before 9 behind a number flattens it", "C7-9", "1 3 5 b7 b9"),
    ("MT21C: - before 5 flattens it, and minor has no 5 to tell", "C-5", "1 3 b5"),
    ("MT21C: - before 5 flattens it", "C-7-5", "1 b3 b5 b7"),
    ("MT21C: + is augmented, whatever stands before it", "Cmaj+", "1 3 #5"),
    ("MT21C: + is augmented, whatever stands before it", "C7+", "1 3 #5 b7"),
    ("MT21C: C(b9) has no seventh, nor has °(b9)", "C°b9", "1 b3 b5 b9"),
    ("MT21C: 2 is an added ninth; so 4 is an added fourth, not sus4", "C4", "1 3 4 5"),
    ("common practice, no source: m before +7 is minor with a raised fifth", "Cm+7", "1 b3 #5 b7"),
    ("MusicXML kind text: o is °, so Do is no do", "Do", "1 b3 b5"),
]
# Where the published texts disagree: the choice, and whose it is.
CHOICES = [
    ("11 keeps the third (MusicXML 4.0, MT21C D11)", "C11", "1 3 5 b7 9 11"),
    ("13 holds the 11 (MusicXML 4.0, MT21C)", "C13", "1 3 5 b7 9 11 13"),
    ("maj13 holds the 11 (MusicXML 4.0, MT21C)", "Cmaj13", "1 3 5 7 9 11 13"),
    ("m13 holds the 11 (MusicXML 4.0, MT21C)", "Cm13", "1 b3 5 b7 9 11 13"),
    ("half-diminished 9 is natural (MT21C)", "Cø9", "1 b3 b5 b7 9"),
    ("half-diminished 9 is natural (MT21C)", "Cm9b5", "1 b3 b5 b7 9"),
    ("half-diminished 11 has a natural 9 (MT21C)", "Cø11", "1 b3 b5 b7 9 11"),
    ("alt is any altered fifth and ninth (MT21C): all four shown", "C7alt", "1 3 b5 #5 b7 b9 #9"),
    ("alt is any altered fifth and ninth (MT21C): all four shown", "Calt", "1 3 b5 #5 b7 b9 #9"),
]
# Spelling by letter, where jazz figures respell (MT21C: accepted).
LETTERS = [
    ("C°7", "C Eb Gb Bbb"),
    ("C7#9", "C E G Bb D#"),
    ("C7#5", "C E G# Bb"),
    ("G7alt", "G B Db D# F Ab A#"),
]
# ASCII, Unicode and the usual other spellings of one symbol.
SAME = [
    "C# C♯",
    "Bb7 B♭7",
    "F##dim7 F♯♯dim7 F𝄪dim7 Fxdim7",
    "Ebb E♭♭ E𝄫",
    "Cm7b5 Cm7♭5 Cm7(b5) C-7b5 Cmin7(♭5) Cø Cø7 C∅7",
    "C7#9 C7♯9 C7(#9) C7+9 C7(+9) C7[#9]",
    "C7b9b13 C7(b9b13) C7(b9,b13) C7(b9)(b13) C7♭9♭13 C7b9(b13)",
    "Cmaj7 CMaj7 CM7 CMA7 Cma7 C△7 C∆7 CΔ7 C△ Cmaj7",
    "Cm Cmin Cmi CMI C- C−",
    "Cdim C° Cº Co",
    "Cdim7 C°7 Co7",
    "Caug C+ C(#5)",
    "CmMaj7 CmM7 Cm(maj7) Cm△7 C-△7 Cmin(maj7) C−Δ7",
    "Csus Csus4",
    "C7sus C7sus4",
    "C6/9 C69 C6(9)",
    "C/E C/e",
    "C/Bb C/B♭ C/bb",
    "Am7/G A-7/G Amin7/G",
    "C7no3 C7omit3 C7(no3) C7(omit3)",
    "Cadd9 C(add9)",
    "N.C. NC N.C",
    "C/9 C(9) Cadd9 Cadd(9) C(add9)",
    "C7(b9,#11) C7(b9/#11) C7b9/#11 C7(-9,+11) C7♭9♯11",
    "C7M Cmaj7 C7maj CM7 Cj7 Cadd#7 C(maj7)",
    "Cm(maj7) Cm#7 Cm(#7) CmMaj C-△ Cm/M7 CmM7",
    "C5 Cno3 CNo3 Comit3 C(no3)",
    "Chalf-dim Cø Cm7b5 Chdim7 C-7-5",
    "C7#5 C+7 C7+ C7+5 Caug7 C7aug C7(#5)",
    "C7sus4 Csus7 C7sus Csus47 C7(sus4)",
]


@pytest.mark.parametrize(("rule", "symbol", "degrees"), RULES + FORMS + DOUBTFUL + CHOICES)
def test_rule(rule: str, symbol: str, degrees: str) -> None:
    tones = ChordSymbol.parse(symbol).palette.tones
    assert [tone.degree.ascii for tone in tones] == degrees.split()


@pytest.mark.parametrize(("symbol", "notes"), LETTERS)
def test_spelled_by_letter(symbol: str, notes: str) -> None:
    assert [name.ascii for name in ChordSymbol.parse(symbol).palette.names] == notes.split()


@pytest.mark.parametrize("symbols", SAME)
def test_other_spellings_are_the_same_chord(symbols: str) -> None:
    first, *others = [ChordSymbol.parse(symbol) for symbol in symbols.split()]
    for other in others:
        assert (other.root, other.palette) == (first.root, first.palette)


@pytest.mark.parametrize("symbol", ["C2", "Cadd2"])
def test_2_is_the_ninth_without_a_seventh(symbol: str) -> None:
    # MT21C: add9, 2 and add2 are one chord: the same names, whatever the degree is called.
    names = {name.ascii for name in ChordSymbol.parse(symbol).palette.names}
    assert names == {name.ascii for name in ChordSymbol.parse("Cadd9").palette.names}


def test_root_accidentals_and_alterations_differ() -> None:
    # MT21C: Cb9, C(b9) and C7(b9) are three chords.
    chords = [ChordSymbol.parse(symbol).palette.names for symbol in ("Cb9", "C(b9)", "C7(b9)")]
    assert len(set(chords)) == 3


@pytest.mark.parametrize(
    ("symbol", "chord", "bass"),
    [
        # MT21C slash chords; ABC 2.1, 4.18: the bass may lie outside the chord.
        ("C/E", "C", "E"),
        ("C/D", "C", "D"),
        ("C/F#", "C", "F#"),
        ("F/G", "F", "G"),
        ("Am7b5/Eb", "Am7b5", "Eb"),
        ("C6/9/E", "C6/9", "E"),
        ("C7(b9)/Db", "C7(b9)", "Db"),
        ("Ebmaj9/G", "Ebmaj9", "G"),
        ("D#dim7/F##", "D#dim7", "F##"),
    ],
)
def test_slash_is_a_bass(symbol: str, chord: str, bass: str) -> None:
    slashed, plain = ChordSymbol.parse(symbol), ChordSymbol.parse(chord)
    assert slashed.palette.tones == plain.palette.tones
    assert slashed.palette.bass is not None
    assert slashed.palette.bass.ascii == bass
    assert slashed.bass == slashed.palette.bass
    assert plain.bass is None
    assert plain.palette.bass == plain.root


@pytest.mark.parametrize("text", ["N.C.", "NC", "N.C", "n.c.", "nc"])
def test_no_chord(text: str) -> None:
    # MusicXML 4.0, kind none: the root has no meaning.
    chord = ChordSymbol.parse(text)
    assert chord.silent
    assert (chord.root, chord.bass, chord.degrees) == (None, None, ())
    assert (chord.palette.names, chord.palette.bass, chord.palette.keys) == ((), None, ())


@pytest.mark.parametrize(
    ("symbol", "notes"),
    [
        # The letters above each root, by the rules of this file.
        ("B-7#5", "B D F## A"),
        ("F7", "F A C Eb"),
        ("Fmaj7", "F A C E"),
        ("F6", "F A C D"),
        ("C/E", "C E G"),
        ("Ebmaj9/G", "Eb G Bb D F"),
    ],
)
def test_worked(symbol: str, notes: str) -> None:
    assert [name.ascii for name in ChordSymbol.parse(symbol).palette.names] == notes.split()


def test_double_sharp_is_shown_with_its_plain_key() -> None:
    tone = ChordSymbol.parse("B-7#5").palette.tones[2]
    assert (str(tone.name), tone.degree.label) == ("F♯♯", "♯5")
    assert tone.name.friendly is not None
    assert tone.name.friendly.ascii == "G"


@pytest.mark.parametrize(
    ("degree", "label"),
    [("C7", ["root", "3rd", "5th", "♭7"]), ("C7#9", ["root", "3rd", "5th", "♭7", "♯9"])],
)
def test_degree_labels(degree: str, label: list[str]) -> None:
    assert [tone.degree.label for tone in ChordSymbol.parse(degree).palette.tones] == label


@pytest.mark.parametrize(
    ("symbol", "notes"),
    [
        ("C(7)", "C E G Bb"), ("Cm(7)", "C Eb G Bb"), ("Cdim(7)", "C Eb Gb Bbb"),
        ("C7(alt)", "C E Gb G# Bb Db D#"), ("C˚7", "C Eb Gb Bbb"), ("C–7", "C Eb G Bb"),
        ("CMadd9", "C E G D"), ("CMaug", "C E G#"), ("C9sus2", "C D G Bb"),
    ],
)  # fmt: skip
def test_forms_that_are_typed_and_printed(symbol: str, notes: str) -> None:
    # Common practice, no source: a 7 in brackets is the 7 that stands without them.
    names = ChordSymbol.parse(symbol).palette.names
    assert " ".join(name.ascii for name in names) == notes


def test_an_alteration_does_not_stick_to_the_root_it_follows() -> None:
    assert ChordSymbol.parse("C♮#11").display == "C(♯11)"
