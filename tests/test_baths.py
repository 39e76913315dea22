"""Baths: what batch after batch takes, run through the model and counted; balances, the two ways of counting, refusals."""
import numpy as np
import pytest

from kitchenlib import baths, spheres, tables
from kitchenlib.units import OutOfRange, Q_

MINUTE = {"diameter": Q_(4, "mm"), "calcium": Q_(34.01, "mmol/L"), "dose": Q_(0.5, "percent"), "alginate": tables.row("sodium alginate", own=False),
          "bath_time": Q_(60, "s")}
POT = {"calcium": Q_(34.01, "mmol/L"), "uptake": Q_(13.48, "mmol/L"), "batch": Q_(100, "g"), "bath": Q_(1, "L")}


def test_batches_through_the_model():
    """Dossier of spheres, c: 5.6 batches to 80 % and 16.4 to 50 %, the sixth shell 0.364 mm."""
    got = baths.service(18, Q_(100, "g"), Q_(1, "L"), **MINUTE)
    batches = np.arange(19)
    left = got.strength.m / 34.01
    assert [np.interp(-share, -left, batches) for share in (0.8, 0.5)] == pytest.approx([5.6, 16.4], abs=0.06)
    assert got.shell[5].m_as("mm") == pytest.approx(0.364, rel=1e-2)
    fresh = 34.01
    for n in range(3):                                                                # the curve between strengths against runs
        one = spheres.history(**{**MINUTE, "calcium": Q_(fresh, "mmol/L")}, bath_ratio=10)
        assert [got.uptake.m[n], got.shell[n].m_as("mm")] == pytest.approx([one.uptake.m, one.shell.m_as("mm")], rel=4e-3)
        fresh = one.bath.m
        assert got.strength.m[n + 1] == pytest.approx(fresh, rel=1e-3)
    assert (np.diff(baths.service(60, Q_(400, "g"), Q_(1, "L"), **MINUTE).strength.m) < 0).all()


def test_counting_batches():
    assert baths.batches_until(Q_(80, "percent"), **POT, way="linear") < baths.batches_until(Q_(80, "percent"), **POT)
    for way in ("linear", "proportional"):
        for carried in (None, Q_(8, "g")):
            count = baths.batches_until(Q_(70, "percent"), **POT, way=way, carried=carried)
            assert baths.strength_after(count, **POT, way=way, carried=carried).m == pytest.approx(0.7 * 34.01)
    dry, wet = (baths.batches_until(Q_(80, "percent"), **POT, carried=carried) for carried in (Q_(0, "g"), Q_(10, "g")))
    assert wet < dry
    assert baths.strength_after(1, **POT, carried=Q_(10, "g")).m == pytest.approx(34.01 * (1 - 1.348 / 34.01) * 0.99)
    tired, clean = (baths.service(2, Q_(100, "g"), Q_(1, "L"), **MINUTE, carried=spoon).strength.m[1] for spoon in (Q_(10, "g"), None))
    assert tired == pytest.approx(0.99 * clean)
    heavy = baths.strength_after(1, **POT, density=Q_(1046, "kg/m**3"), way="linear")
    assert 34.01 - heavy.m == pytest.approx(1.348 / 1.046)
    assert baths.strength_after([0, 1e4], **POT, way="linear").m == pytest.approx([34.01, 0])
    litres = baths.litres_for(Q_(500, "g"), Q_(80, "percent"), POT["calcium"], POT["uptake"])
    assert litres.m == pytest.approx(13.48 * 0.5 / (0.2 * 34.01))
    assert baths.litres_for(Q_(500, "g"), Q_(1, "percent"), Q_(900, "mmol/L"), Q_(1, "mmol/L")).m == pytest.approx(0.5)
    used = baths.calcium_used(Q_(13.48, "mmol/L"))
    assert used.m * 40.078e-3 == pytest.approx(0.54, abs=0.005) and used.m * 147.01e-3 == pytest.approx(1.98, abs=0.005)     # g per kg: dossier, c


@pytest.mark.parametrize("call", [
    lambda: baths.strength_after(1, **{**POT, "batch": Q_(2, "kg")}),
    lambda: baths.strength_after(1, **{**POT, "uptake": Q_(500, "mmol/L"), "batch": Q_(900, "g")}),
    lambda: baths.batches_until(Q_(80, "percent"), **POT, carried=Q_(950, "g")),
    lambda: baths.service(3, Q_(2, "kg"), Q_(1, "L"), **MINUTE),
    lambda: baths.forgotten(Q_(34, "mmol/L"), Q_(11, "mmol/L"), Q_(2, "kg"), Q_(1, "L"))])
def test_refuses_and_says_the_mend(call):
    with pytest.raises(OutOfRange, match="larger bath"):
        call()
