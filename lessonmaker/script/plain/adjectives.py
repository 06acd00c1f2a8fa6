"""What may stand between an article and the note it belongs to: "a nice low third", "that gorgeous ninth".

Common practice, no source. Any word may describe a note but those that make something else of it: a number, a kind
of chord, a distance ("a rising third"), a part of another phrase.
"""

from __future__ import annotations

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.vocabulary import ACCIDENTALS, CARDINAL, ORDINAL

__all__ = ["ADJECTIVES", "OF_A_NOTE"]

OF_OTHERS = (
    rf"{CARDINAL}|{ORDINAL}|last|final|next|other|same|middle|upper|lower|{'|'.join(ACCIDENTALS)}|half|whole"
    r"|dominant|secondary|altered|chord|triad|scale|key|note|bar|measure|beat|line|bass|drop|hint|rising|falling"
    r"|ascending|descending|climbing|dropping|leaping|jumping|open|parallel|stacked|broken|wide|clean|melodic"
    r"|harmonic|double|consecutive|successive|sequential|root|step|few|more|most|less|least|many|much|such|only"
    r"|and|or|but|then|than|as|if|so|not|no|of|to|from|in|on|at|by|with|for|into|up|down|over|through|before|after"
    r"|between|across|along|against|towards?|within|during|via|past|while|till|about|around|under|above|below|until|like|off|out|back|right|just|again|also|both|all|each|every"
    r"|the|an?|this|that|these|those|it|its|we|you|i|he|she|they|there|here|which|what|who|where|when|how"
    r"|is|are|was|were|be|been|has|have|had|does|do|did|goes|comes|gets|makes|takes|gives|says|means|will|would|can"
    r"|could|should|may|might|must"
)
ADJECTIVE = rf"(?!(?:{OF_OTHERS})\b)[a-z]{{3,}}(?:-[a-z]+)*"
ADJECTIVES = rf"{ADJECTIVE}(?:,? {ADJECTIVE})? "
"""One or two of them, each with a space after it."""

OF_A_NOTE = pattern_of(
    r"\b(?:long|short|held|sustained|ringing|lone|lonely|lonesome|solitary|single|repeated|quiet|soft|loud|accented|tied"
    r"|brief|quick|fat|full|plain|sweet|warm|bright|dark|pretty|lovely|nice|beautiful|gorgeous|tender|low|high|deep"
    r"|mellow|tiny|little|big|fresh|cool|bluesy|clear|resonant|luminous|hushed|singing|stinging|aching|eighth|quarter"
    r"|dotted|quaver|crotchet|minim|syncopated|delayed|early|late|anticipated|final|closing|opening|added),?"
    r"(?: [a-z-]+)? $"
)
"""Those that no distance has: "a long fifth" is a note."""
