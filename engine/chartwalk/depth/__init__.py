"""Depth: the chart played plainer or leaner, without losing the place.

The rules are common practice at the keyboard; where a source is known it is named.

Written
-------
The chart as it stands.

Plain
-----
- Every chord is its triad, written by letter and ``m``, ``dim`` or ``aug``: no figures and no
  slash. ``N.C.`` stays.
- Diminished and augmented chords keep their fifth, for that is their sound: m7♭5 and dim7 are dim,
  7♯5 is aug. A fifth altered otherwise (7♭5, m7♯5, 7alt) is a colour and goes.
- A chord without a third that is not suspended (C5, C7no3) is root and fifth: a triad would add a
  third that nobody asked for.
- A suspended chord stays suspended (sus4, or sus2 where only the second is) if the tune holds the
  suspended note, which a third would grate against. It does if the note sounds where the chord
  begins, as a suspension does, or for half the chord or longer; shorter is a note in passing.
- Otherwise it falls to the triad it leads to. The third is the one the tune holds; or that of the
  chord beside it on the same root, the one after before the one before; or the major one under a
  minor seventh, for 7sus4 stands for a dominant; or else the one that root has in the key, with
  the fifth degree of a minor key major (its leading note raised: the harmonic minor); and major on
  a root that has no minor triad in the key.
- Changes of one bar that become the same chord are one. The first chord of a bar is written even
  if it goes on from the bar before: a reader looks for it there.

Lean
----
The chords as written, but fewer where they crowd. A change crowds if it comes soon after the
change written before it and the next comes soon too: within two beats, or within one where the
beat is a dotted one or a half note, which has room for a chord. Longer chords stay. Bars are taken
in the order on paper, so a chord is as long as the empty bars after it say.

- On the root of the chord that sounds, a change goes if it keeps third and fifth or has no third:
  C Cmaj7 C7, Am Am/G and C Csus4 are one harmony, and a move of the root means more. Here two beats
  (or the one that has room for a chord) are soon enough: two chords a bar are often one, unless
  the first stands over a bass that is none of its notes.
- On a weak beat, a crowding change goes if it comes soon after the last one that stays. Strong are
  the first beat; every second one where they are even in number (1 and 3 of 4/4); and every dotted
  beat and half note (Open Music Theory, meter).
- Where all that stood in a bar between a chord and the same chord again went, it sounds on.

These stay all the same:

- A chord at the start of a bar, where the reader finds the place; the first and last of the chart.
- N.C. and the chord after it, which tell the hands to stop and to start.
- The first change at or after a sign that stands at the start of a bar, the first after a sign at
  the end of one, and the last before that: on the road their neighbours are others than on paper.
- The chord in which a suspension resolves, on the same root: Csus4 C.
- A dominant that falls a fifth from the end of a bar into the chord on the next bar line: that
  cadence is what the ear follows. A dominant has no minor third and no major seventh, and on the
  tonic of the key a minor seventh: C7 F, but C F in C is none. It goes where its harmony sounds.
- A chord that the tune needs. It does if a note would clash with the chord that sounds instead for
  a beat (half of one that has room for a chord) or longer; shorter is a note in passing. A note
  clashes a semitone above a chord tone (the avoid note of jazz practice), unless it clashed so with
  the written chord too. It clashes a semitone below one if the written chord has it (B over C and
  no G7) and it is not the 9th or 6th of the other. What is left, most of it a whole tone from every
  chord tone, is a colour.
"""

from chartwalk.depth.played import Depth, at_depth, left_out
from chartwalk.depth.triad import plainer

__all__ = ["Depth", "at_depth", "left_out", "plainer"]
