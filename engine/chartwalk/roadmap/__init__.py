"""The road map: from written repeats, endings and jumps to the bars in the order they are played.

Rules
-----
- A closing repeat sign sends back to its opening sign; without one to the bar after the last
  finished repeat, or to the beginning (ABC 2.1 section 4.8; Gehrkens, *Music Notation and
  Terminology*, section 36). It is taken twice in all unless another number is written.
- Each pass takes the ending that bears its number (Schmidt-Jones, *Understanding Basic Music
  Theory*, repeats).
- After a D.C. or D.S. the repeats already taken are not taken again and the last ending is played
  (MusicXML 4.0 ``repeat`` ``after-jump``; Gehrkens sections 36-39, "senza replica").
- To Coda and Fine count only after a D.C. or D.S.; after al Coda, Fine counts in the coda alone.
  On the bar line of a repeat they count once it has been taken (common practice, no source).
- A jump is taken once, the first time it is reached without a repeat left to take (MusicXML 4.0
  ``sound``: dacapo and dalsegno the first time through).
- A sign that no jump makes use of is read over, and told as a notice; so is a bar never played.
"""

from chartwalk.roadmap.notices import road_notices
from chartwalk.roadmap.repeats import Ending, Repeat, find_repeats
from chartwalk.roadmap.walk import Step, ordinal, unroll

__all__ = ["Ending", "Repeat", "Step", "find_repeats", "ordinal", "road_notices", "unroll"]
