import pytest

from waterkit.errors import FieldError
from waterkit.water.formulas import molar_mass, read_formula


def test_a_formula_has_mass_and_atoms() -> None:
    formula = read_formula("P2O5")
    assert formula.molar_mass_g_mol == pytest.approx(141.94, abs=0.01)  # handbook value
    assert formula.atoms == {"P": 2, "O": 5}


@pytest.mark.parametrize("text", ["", "xx", "Ca CO3", "(", "9**9**9", "nan", "Zz2", "C" * 5000])
def test_what_is_no_formula_is_refused(text: str) -> None:
    with pytest.raises(FieldError, match="not a chemical formula") as caught:
        molar_mass(text)
    assert caught.value.field == "as"
    assert caught.value.hint
