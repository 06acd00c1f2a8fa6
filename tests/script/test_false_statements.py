"""Slips that teachers make, by eight writers who did not know what is checked: how many are called false.

Half of the sets were learned from, of the others nobody who works on the checks has opened one.
"""

import pytest

from tests.tools.false_statements import FOLDER, sums

# The share of the false statements that is to be called false, as reached, and of the true ones that may be.
REACHED = {"learned-*": (0.41, 0.04), "unopened-*": (0.45, 0.04)}


@pytest.mark.parametrize("names", REACHED)
def test_slips_are_called_false_and_what_is_true_is_not(names):
    found = sums(sorted(FOLDER.glob(f"{names}.yaml")))
    caught, alarms = REACHED[names]
    false, true = found["caught"] + found["missed"], found["right"] + found["alarm"]
    assert (false, true) == (340, 140)
    assert found["caught"] >= caught * false
    assert found["alarm"] <= alarms * true
