import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillbed.science import carbonate
from rillbed.science.polish import polished_ph


@given(
    st.floats(-0.9, 0.9), st.floats(0.5, 8.0), st.floats(4.0, 34.0), st.floats(0.0, 8.0), st.floats(0.0, 20.0),
    st.floats(-0.1, 0.1),
)  # fmt: skip
def test_it_ends_where_the_bench_is(over, carbon, temp, tan, po4, off):
    strength, alk = 0.004, (1.0 + over) * carbon  # from little to nearly two equivalents per carbon
    bench = carbonate.speciate(temp, alk, strength, dic_mmol_l=carbon, tan_mg_l=tan, po4_p_mg_l=po4)
    co2 = bench.co2_mg_l / carbonate.CO2_G_MOL
    found = polished_ph(bench.ph + off, co2, alk, temp, strength, tan, po4)
    assert found == pytest.approx(bench.ph, abs=1e-6)


def test_arrays_and_scalars_agree():
    start = np.array([8.9, 9.4])
    both = polished_ph(start, np.array([0.002, 0.0005]), 2.0, 24.0, 0.003)
    one = [polished_ph(s, c, 2.0, 24.0, 0.003) for s, c in zip(start, (0.002, 0.0005), strict=True)]
    np.testing.assert_allclose(both, one)
