"""Slips that teachers make, by twelve writers who did not know what is checked: how many are called false.

Nine of the sets were learned from; of the others nobody who works on the checks has opened one.
"""

import pytest

from tests.tools.false_statements import FOLDER, sums

# How many statements are false and how many true; the share of the false ones that is called false, as reached, and the
# share of the true ones that is.
SETS = {"learned-*": (685, 395, 0.81, 0.02), "unopened-*": (175, 185, 0.66, 0.06)}


@pytest.mark.parametrize("names", SETS)
def test_slips_are_called_false_and_hardly_any_true_statement_is(names):
    found = sums(sorted(FOLDER.glob(f"{names}.yaml")))
    false, true, caught, alarms = SETS[names]
    assert (found["caught"] + found["missed"], found["right"] + found["alarm"]) == (false, true)
    assert found["caught"] >= caught * false
    assert found["alarm"] <= alarms * true
