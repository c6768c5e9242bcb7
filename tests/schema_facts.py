"""What the MusicXML 4.0 schema says of the elements that are written: a table of facts.

Source: the W3C MusicXML 4.0 schema (musicxml.xsd), its content models and attribute types, as far
as the elements here are concerned. A content is a row of children, each with how often it may
stand: once, ``?``, ``*`` or ``+``; ``|`` parts alternatives. A text is a pattern in capitals of
`TEXTS`. Attributes have such patterns too; those with ``!`` must stand.
"""

import re
from xml.etree.ElementTree import Element

NOTE_TYPES = "1024th 512th 256th 128th 64th 32nd 16th eighth quarter half whole breve long maxima"
KINDS = """major minor augmented diminished dominant major-seventh minor-seventh diminished-seventh
augmented-seventh half-diminished major-minor major-sixth minor-sixth dominant-ninth major-ninth
minor-ninth dominant-11th major-11th minor-11th dominant-13th major-13th minor-13th
suspended-second suspended-fourth Neapolitan Italian French German pedal power Tristan other none"""
SIGNS = "sharp natural flat double-sharp flat-flat triple-sharp triple-flat"


def one_of(words: str) -> str:
    return "|".join(map(re.escape, words.split()))


TEXTS = {
    "ANY": r"[^\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]*",
    "TOKEN": r"(?:\S+(?: \S+)*)?",
    "NMTOKEN": r"[-.:\w]+",
    "EMPTY": r"",
    "STEP": r"[A-G]",
    "INTEGER": r"-?\d+",
    "COUNT": r"\d+",
    "POSITIVE": r"[1-9]\d*",
    "DECIMAL": r"-?\d+(?:\.\d+)?",
    "RATE": r"\d+(?:\.\d+)?",
    "OCTAVE": r"[0-9]",
    "YES": r"yes|no",
    "SIDE": r"left|right|middle",
    "STARTSTOP": r"start|stop",
    "TIED": r"start|stop|continue|let-ring",
    "SINGLE": r"start|stop|single",
    "DISCONTINUE": r"start|stop|discontinue",
    "ENDINGS": r" *|[1-9]\d*(?:, ?[1-9]\d*)*",
    "DIRECTION": r"backward|forward",
    "DEGREE": r"add|alter|subtract",
    "SYLLABIC": r"single|begin|end|middle",
    "STYLE": r"regular|dotted|dashed|heavy|light-light|light-heavy|heavy-light|heavy-heavy|tick"
    r"|short|none",
    "PLACEMENT": r"above|below",
    "ENCLOSURE": r"rectangle|square|oval|circle|bracket|triangle|diamond|none",
    "NOTEHEAD": r"slash|normal|x",
    "SHAPE": r"normal|angled|square|double-angled|double-square|double-dot|half-curve|curlew|",
    "UPRIGHT": r"upright|inverted",
    "TYPE": one_of(NOTE_TYPES),
    "SWINGTYPE": r"eighth|16th",
    "KIND": one_of(KINDS),
    "SIGN": one_of(SIGNS),
    "CLEF": r"G|F|C|percussion|TAB|jianpu|none",
}

# element: content, attributes
FACTS = {
    "score-partwise": ("work? movement-number? movement-title? identification? defaults? credit* "
                       "part-list part+", "version=TOKEN"),
    "work": ("work-number? work-title? opus?", ""),
    "work-title": ("ANY", ""),
    "identification": ("creator* rights* encoding? source? relation* miscellaneous?", ""),
    "creator": ("ANY", "type=TOKEN"),
    "encoding": ("(encoding-date|encoder|software|encoding-description|supports)*", ""),
    "software": ("ANY", ""),
    "supports": ("EMPTY", "type=YES! element=NMTOKEN! attribute=NMTOKEN value=TOKEN"),
    "miscellaneous": ("miscellaneous-field*", ""),
    "miscellaneous-field": ("ANY", "name=TOKEN!"),
    "part-list": ("part-group* score-part (part-group|score-part)*", ""),
    "score-part": ("identification? part-link* part-name part-name-display?", "id=NMTOKEN!"),
    "part-name": ("ANY", "print-object=YES"),
    "part": ("measure+", "id=NMTOKEN!"),
    "measure": ("(note|backup|forward|direction|attributes|harmony|figured-bass|print|sound"
                "|listening|barline|grouping|link|bookmark)*", "number=TOKEN! implicit=YES"),
    "attributes": ("divisions? key* time* staves? part-symbol? instruments? clef* staff-details* "
                   "transpose* directive* measure-style*", ""),
    "divisions": ("POSITIVE", ""),
    "key": ("fifths mode?", ""),
    "fifths": ("INTEGER", ""),
    "mode": ("ANY", ""),
    "time": ("beats beat-type", ""),
    "beats": ("ANY", ""),
    "beat-type": ("ANY", ""),
    "clef": ("sign line?", ""),
    "sign": ("CLEF", ""),
    "line": ("INTEGER", ""),
    "backup": ("duration", ""),
    "duration": ("POSITIVE", ""),
    "harmony": ("((root|numeral|function) kind inversion? bass? degree*)+ frame? offset? staff?",
                "placement=PLACEMENT"),
    "root": ("root-step root-alter?", ""),
    "root-step": ("STEP", "text=TOKEN"),
    "root-alter": ("DECIMAL", "print-object=YES"),
    "kind": ("KIND", "text=TOKEN"),
    "bass": ("bass-separator? bass-step bass-alter?", ""),
    "bass-step": ("STEP", "text=TOKEN"),
    "bass-alter": ("DECIMAL", "print-object=YES"),
    "degree": ("degree-value degree-alter degree-type", "print-object=YES"),
    "degree-value": ("POSITIVE", ""),
    "degree-alter": ("DECIMAL", ""),
    "degree-type": ("DEGREE", ""),
    "offset": ("DECIMAL", ""),
    "note": ("chord? (pitch|unpitched|rest) duration tie? tie? instrument* voice? type? dot* "
             "accidental? time-modification? stem? notehead? notehead-text? staff? beam* "
             "notations* lyric* play? listen?", ""),
    "pitch": ("step alter? octave", ""),
    "step": ("STEP", ""),
    "alter": ("DECIMAL", ""),
    "octave": ("OCTAVE", ""),
    "rest": ("EMPTY", "measure=YES"),
    "tie": ("EMPTY", "type=STARTSTOP!"),
    "voice": ("ANY", ""),
    "type": ("TYPE", ""),
    "dot": ("EMPTY", ""),
    "accidental": ("SIGN", ""),
    "time-modification": ("actual-notes normal-notes (normal-type normal-dot*)?", ""),
    "actual-notes": ("COUNT", ""),
    "normal-notes": ("COUNT", ""),
    "notehead": ("NOTEHEAD", ""),
    "notations": ("(tied|slur|tuplet|glissando|fermata|other-notation)*", ""),
    "fermata": ("SHAPE", "type=UPRIGHT"),
    "tied": ("EMPTY", "type=TIED!"),
    "tuplet": ("tuplet-actual? tuplet-normal?", "type=STARTSTOP! bracket=YES"),
    "other-notation": ("ANY", "type=SINGLE! print-object=YES"),
    "lyric": ("(syllabic? text ((elision syllabic?)? text)* extend?)|extend|laughing|humming",
              "number=NMTOKEN"),
    "syllabic": ("SYLLABIC", ""),
    "text": ("ANY", ""),
    "extend": ("EMPTY", ""),
    "direction": ("direction-type+ offset? voice? staff? sound? listening?",
                  "placement=PLACEMENT"),
    "direction-type": ("rehearsal+|segno+|coda+|(words|symbol)+|wedge|metronome", ""),
    "rehearsal": ("ANY", "enclosure=ENCLOSURE"),
    "segno": ("EMPTY", ""),
    "coda": ("EMPTY", ""),
    "symbol": ("NMTOKEN", ""),
    "words": ("ANY", ""),
    "metronome": ("beat-unit beat-unit-dot* beat-unit-tied* per-minute", ""),
    "beat-unit": ("TYPE", ""),
    "beat-unit-dot": ("EMPTY", ""),
    "per-minute": ("ANY", ""),
    "sound": ("(midi-device? midi-instrument? play?)* swing? offset?",
              "tempo=RATE dacapo=YES segno=TOKEN dalsegno=TOKEN coda=TOKEN tocoda=TOKEN "
              "fine=TOKEN"),
    "swing": ("(straight|(first second swing-type?)) swing-style?", ""),
    "straight": ("EMPTY", ""),
    "first": ("POSITIVE", ""),
    "second": ("POSITIVE", ""),
    "swing-type": ("SWINGTYPE", ""),
    "barline": ("bar-style? wavy-line? segno? coda? fermata? fermata? ending? repeat?",
                "location=SIDE"),
    "bar-style": ("STYLE", ""),
    "ending": ("ANY", "number=ENDINGS! type=DISCONTINUE!"),
    "repeat": ("EMPTY", "direction=DIRECTION! times=COUNT after-jump=YES"),
}  # fmt: skip

_NAME = re.compile(r"[a-z][a-z-]*")
_CONTENTS = {
    tag: re.compile(_NAME.sub(lambda name: f"(?:{name[0]},)", content).replace(" ", ""))
    for tag, (content, _) in FACTS.items()
    if content not in TEXTS
}


def _attributes(element: Element, stated: str) -> list[str]:
    rules = dict(each.split("=") for each in stated.split())
    wrong = [
        f"{element.tag}: no {name}"
        for name, rule in rules.items()
        if rule.endswith("!") and name not in element.attrib
    ]
    for name, value in element.attrib.items():
        rule = rules.get(name, "").rstrip("!")
        if not rule or not re.fullmatch(TEXTS[rule], value):
            wrong.append(f"{element.tag}: {name}={value!r}")
    return wrong


def out_of_order(root: Element) -> list[str]:
    """Return what contradicts the facts in a score: contents, texts and attributes."""
    wrong = []
    for element in root.iter():
        if element.tag not in FACTS:
            wrong.append(f"<{element.tag}> is not in the table")
            continue
        content, stated = FACTS[element.tag]
        wrong += _attributes(element, stated)
        children = "".join(f"{child.tag}," for child in element)
        if content in TEXTS:
            fits = not children and re.fullmatch(TEXTS[content], element.text or "")
        else:
            fits = not (element.text or "").strip() and _CONTENTS[element.tag].fullmatch(children)
        if not fits:
            wrong.append(f"<{element.tag}>: {children or element.text!r}")
    return wrong
