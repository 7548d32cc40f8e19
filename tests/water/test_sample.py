import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.water.sample import Result, Sample, WaterTest, gather, measure

DAY = dt.date(2027, 6, 1)


def row(analyte: str, value: str, unit: str = "mg/L", as_: str = "") -> WaterTest:
    return WaterTest("A", DAY, analyte, value, unit=unit, as_=as_)


def told(item: object) -> str:
    """A row as it is told in the name of a test."""
    if not isinstance(item, WaterTest):
        return ""
    return f"{item.analyte} {item.value} {item.unit} {item.as_}"


# Atomic weights, and definitions of degrees and grains (1 degdH = 10 mg/L CaO, 1 gr/US gal = 17.118
# mg/L): 1 degdH is 17.85 mg/L as CaCO3 (from memory), 50.04 mg/L as CaCO3 are 1 meq/L.
@pytest.mark.parametrize(
    ("written", "core"),
    [
        (row("calcium", "40.08"), 1.0),
        (row("Ca", "100.09", as_="CaCO3"), 1.0),
        (row("Ca", "2", "meq/L"), 1.0),
        (row("Ca", "1", "mmol/L"), 1.0),
        (row("Ca", "1000", "ug/L"), 0.02495),
        (row("Ca", "5.607", "degdH"), 1.0),
        (row("nitrate", "14.007", as_="N"), 1.0),
        (row("nitrate", "1", "mmol/L", "N"), 1.0),
        (row("phosphate", "0.5", "mmol/L", "P2O5"), 1.0),
        (row("nitrate", "62.0"), 1.0),
        (row("silica", "60.08", as_="SiO2"), 1.0),
        (row("silica", "28.09", as_="Si"), 1.0),
        (row("silica", "1", "mmol/L"), 1.0),
        (row("alkalinity", "50.043", as_="CaCO3"), 1.0),
        (row("alkalinity", "61.016", as_="HCO3"), 1.0),
        (row("alkalinity", "1", "meq/L"), 1.0),
        (row("alkalinity", "1", "mmol/L"), 1.0),
        (row("alkalinity", "0.5", "mmol/L", "CaCO3"), 1.0),
        (row("alkalinity", "2.804", "degdH"), 1.0),
        (row("hardness", "1", "degdH"), 17.85),
        (row("hardness", "1", "degfH"), 10.0),
        (row("hardness", "1", "gr/US gal", "CaCO3"), 17.118),
        (row("hardness", "1", "gr/imp gal", "caco3"), 14.254),
        (row("hardness", "1", "mmol/L"), 100.09),
        (row("hardness", "1", "meq/L"), 50.04),
        (row("conductivity", "100", "uS/cm", "25 degC"), 100.0),
        (row("conductivity", "10", "mS/m", "25 degC"), 100.0),
        (row("conductivity", "100", "uS/cm", "20 degC"), 111.6),
        (row("conductivity", "100", "uS/cm", "77 degF"), 100.0),
        (row("pH", "7.4", ""), 7.4),
        (row("temperature", "50", "degF"), 10.0),
        (row("TDS", "0.3", "g/L"), 300.0),
        (row("turbidity", "0.4", "NTU"), 0.4),
        (row("free chlorine", "0.3"), 0.3),
    ],
    ids=told,
)
def test_a_row_in_core_units(written: WaterTest, core: float) -> None:
    assert measure(written).value == pytest.approx(core, rel=5e-4)


@pytest.mark.parametrize(
    ("written", "field", "message"),
    [
        (row("calcum", "1"), "analyte", "unknown analyte"),
        (row("Ca", "eighty"), "value", "is not a number"),
        (row("Ca", ""), "value", "is not a number"),
        (row("Ca", "nan"), "value", "is not a number"),
        (row("Ca", "82,4"), "value", "decimal comma"),
        (row("Ca", "-3"), "value", "is negative"),
        (row("Ca", "1e12"), "value", "more than water holds"),
        (row("Ca", "80", ""), "unit", "has no unit"),
        (row("Ca", "80", "ppm"), "unit", "parts of what"),
        (row("Ca", "80", "mgl"), "unit", "unknown unit"),
        (row("Ca", "80", "gr"), "unit", "more than one thing"),
        (row("hardness", "20", "gpg"), "unit", "more than one thing"),
        (row("Ca", "80", "mm"), "unit", "is not a unit of Ca"),
        (row("silica", "1", "meq/L"), "unit", "has no charge"),
        (row("alkalinity", "200"), "as", "what it is counted as"),
        (row("hardness", "200"), "as", "what it is counted as"),
        (row("hardness", "12", "gr/US gal"), "as", "what it is counted as"),
        (row("silica", "12"), "as", "what it is counted as"),
        (row("alkalinity", "200", as_="Na"), "as", "cannot be counted as"),
        (row("nitrate", "20", as_="Cl"), "as", "cannot be counted as"),
        (row("nitrate", "20", as_="xx"), "as", "not a chemical formula"),
        (row("hardness", "12", "degdH", "CaCO3"), "as", "counted as CaO"),
        (row("pH", "7.4", "mg/L"), "unit", "pH has no unit"),
        (row("pH", "14.1", ""), "value", "is no pH"),
        (row("pH", "0", ""), "value", "is no pH of such water"),
        (row("pH", "-1", ""), "value", "negative"),
        (row("pH", "<5", ""), "value", "below detection"),
        (row("conductivity", "400", "uS/cm", "25"), "as", "no reference temperature"),
        (row("conductivity", "400", "uS/cm", "50 degC"), "as", "outside 0 to 35"),
        (row("temperature", "200", "degC"), "value", "no temperature of water"),
        (row("turbidity", "1", "mg/L"), "unit", "not a unit of turbidity"),
    ],
    ids=told,
)
def test_a_row_that_cannot_be_used(written: WaterTest, field: str, message: str) -> None:
    with pytest.raises(FieldError, match=message) as caught:
        measure(written)
    assert caught.value.field == field
    assert caught.value.hint


@given(st.text(max_size=12), st.text(max_size=8), st.text(max_size=8))
def test_any_text_is_read_or_refused(value: str, unit: str, as_: str) -> None:
    field = ""
    try:
        assert measure(row("Ca", value, unit, as_)).value >= 0
    except FieldError as error:
        field = error.field
    assert field in ("", "value", "unit", "as")


def test_below_detection_is_half_the_limit_and_noted() -> None:
    result = measure(row("nitrate", "<0.62"))
    assert result.value == pytest.approx(0.005, rel=1e-3)
    assert result.below_detection
    assert result.notes[0].key == "below-detection"
    assert result.notes[0].values == {"analyte": "nitrate", "limit": 0.62, "unit": "mg/L"}


@pytest.mark.parametrize(
    ("written", "key"),
    [
        (row("conductivity", "400", "uS/cm"), "conductivity-reference-assumed"),
        (row("conductivity", "400", "uS/cm", "20 degC"), "conductivity-turned-to-25-degC"),
        (row("alkalinity", "4", "mmol/L"), "alkalinity-as-acid-capacity"),
    ],
)
def test_what_was_taken_for_granted_is_noted(written: WaterTest, key: str) -> None:
    assert [note.key for note in measure(written).notes] == [key]


def _gather(*rows: WaterTest) -> Sample:
    return gather("A", "well", DAY, "feed", [measure(each) for each in rows])


def test_results_find_their_place_in_the_sample() -> None:
    sample = _gather(
        row("Ca", "40.078"),
        row("bicarbonate", "61.016"),
        row("alkalinity", "2", "meq/L"),
        row("hardness", "100", as_="CaCO3"),
        row("pH", "7.2", ""),
        row("temperature", "9", "degC"),
        row("conductivity", "210", "uS/cm", "25 degC"),
        row("TDS", "130"),
        row("turbidity", "0.3", "NTU"),
        row("chlorine", "<0.1"),
    )
    assert sample.mmol_l == pytest.approx({"Ca": 1.0, "HCO3": 1.0})
    assert sample.alkalinity_meq_l == 2.0
    assert sample.hardness_mg_l_caco3 == pytest.approx(100.0)
    assert (sample.ph, sample.temperature_c) == (7.2, 9.0)
    assert (sample.conductivity_us_cm, sample.tds_mg_l) == (210.0, 130.0)
    assert sample.others == {"turbidity": 0.3, "chlorine": 0.05}
    assert sample.below_detection == {"chlorine"}
    assert [note.key for note in sample.notes] == ["below-detection"]


def test_an_analyte_given_twice_is_refused() -> None:
    with pytest.raises(FieldError, match="calcium twice"):
        gather("A", "", DAY, "feed", [Result("Ca", 1.0), Result("Ca", 1.0)])


@pytest.mark.parametrize("value", ["18-24", "18 - 24", "18 to 24", "18\u201324"])
def test_a_range_is_read_by_its_middle_and_its_ends_are_kept(value: str) -> None:
    result = measure(row("sodium", value, "mg/L"))
    assert result.value == pytest.approx(21.0 / 22.990)
    assert result.ends == pytest.approx((18.0 / 22.990, 24.0 / 22.990))
    assert result.notes[0].key == "range-told"
    sample = gather("A", "town", DAY, "feed", [result])
    assert sample.ranges["Na"] == result.ends


def test_a_range_may_begin_below_detection() -> None:
    result = measure(row("iron", "<0.02-0.10", "mg/L"))
    assert result.ends == pytest.approx((0.01 / 55.845, 0.10 / 55.845))


def test_a_range_upside_down_is_refused() -> None:
    with pytest.raises(FieldError, match="upside down"):
        measure(row("sodium", "24-18", "mg/L"))


@pytest.mark.parametrize(
    ("written", "cause"),
    [
        (("pH", "15", ""), "decimal point"),
        (("sodium", "-3", "mg/L"), "below detection is written"),
        (("alkalinity", "-5", "meq/L"), "below detection is written"),
        (("alkalinity", "280", "mg/L"), "CaCO3"),
        (("hardness", "340", "mg/L"), "CaCO3"),
    ],
)
def test_bad_chemistry_is_refused_with_its_likely_cause(
    written: tuple[str, str, str], cause: str
) -> None:
    with pytest.raises(FieldError) as caught:
        measure(row(*written))
    assert cause in caught.value.hint


@pytest.mark.parametrize(
    ("written", "word"),
    [
        ("ND", "the foot of the sheet"),
        ("n.d.", "<0.05"),
        ("not detected", "<0.05"),
        ("traces", "<0.05"),
        ("21 (18-24)", "18-24"),
        (">5", "after the sign"),
        ("18..24", "18-24"),
    ],
)
def test_a_figure_that_cannot_be_read_says_how_to_write_it(written: str, word: str) -> None:
    with pytest.raises(FieldError) as refused:
        measure(WaterTest("A", dt.date(2027, 6, 1), "calcium", written, unit="mg/L"))
    assert word in refused.value.hint
    assert refused.value.field == "value"
