"""Slips that teachers make, and true statements, by writers who did not know what is checked: what is called false.

What is found in a long sentence, unless it is of a note or a scale, is doubted, and no fault. The sets `learned-*` were
learned from, half of them about one kind of statement each; all of `true-*` is true; of the others nobody who works on
the checks has opened one. Of the first every twelfth statement is judged, of the true ones every fourth.
"""

from dataclasses import dataclass

import pytest

from tests.tools.false_statements import FOLDER, sums


@dataclass(frozen=True)
class Reached:
    """How many statements are false and how many true; the shares of the false ones that are called false, and told
    of at all, and the share of the true ones that is called false: as reached, and not as wanted."""

    false: int
    true: int
    caught: float
    told: float
    alarms: float
    step: int = 1


SETS = {
    "learned-*": Reached(101, 79, 0.25, 0.87, 0.02, step=12),
    "unopened-*": Reached(175, 185, 0.29, 0.68, 0.04),
    "true-*": Reached(0, 114, 0.0, 0.0, 0.018, step=4),
}


@pytest.mark.parametrize("names", SETS)
def test_slips_are_called_false_and_hardly_any_true_statement_is(names):
    reached = SETS[names]
    found = sums(sorted(FOLDER.glob(f"{names}.yaml")), reached.step)
    false = found["caught"] + found["doubted"] + found["missed"]
    true = found["right"] + found["doubt"] + found["alarm"]
    assert (false, true) == (reached.false, reached.true)
    assert found["caught"] >= reached.caught * false
    assert found["caught"] + found["doubted"] >= reached.told * false
    assert found["alarm"] <= reached.alarms * true
