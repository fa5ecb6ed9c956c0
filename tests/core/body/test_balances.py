"""What goes in stays in: blood, oxygen and carbon dioxide are neither made nor lost by the arithmetic."""

import pytest

from drillyard.core.body.body import Body

from .bench import after, healthy, set_parameter


def oxygen_ml(body: Body) -> float:
    """All oxygen of lungs, blood and tissues, mL dry at 0 degC."""
    read, p = body.read, body.p
    index = body.kernel.layout.p_index
    gas = (read("alveolar_o2_left_ml") + read("alveolar_o2_right_ml")) * (760.0 - 47.0) / 863.0
    stores = (
        ("arterial_o2_ml_per_ml", "arterial_pool_ml"), ("venous_o2_ml_per_ml", "venous_pool_ml"),
        ("organ_o2_ml_per_ml", "organ_o2_store_ml"), ("muscle_o2_ml_per_ml", "muscle_o2_store_ml"),
    )  # fmt: skip
    return gas + sum(read(content) * p[index[store]] for content, store in stores)


def carbon_dioxide_ml(body: Body) -> float:
    read, p = body.read, body.p
    index = body.kernel.layout.p_index
    gas = (read("alveolar_co2_left_ml") + read("alveolar_co2_right_ml")) * (760.0 - 47.0) / 863.0
    stores = (
        ("arterial_co2_ml_per_ml", "arterial_pool_ml"), ("venous_co2_ml_per_ml", "venous_pool_ml"),
        ("organ_co2_ml_per_ml", "organ_co2_store_ml"), ("muscle_co2_ml_per_ml", "muscle_co2_store_ml"),
    )  # fmt: skip
    return gas + sum(read(content) * p[index[store]] for content, store in stores)


def water_ml(body: Body) -> float:
    """Blood, fluid between cells, what cells have given, what has left."""
    read = body.read
    left = read("blood_lost_ml") + read("urine_ml") + read("burn_lost_ml")
    return (
        read("blood_volume_ml") + read("tissue_fluid_ml") - read("cell_water_given_ml") + read("lung_water_ml") + left
    )


def protein_g(body: Body) -> float:
    return body.read("plasma_protein_g") + body.read("tissue_protein_g")


def closed() -> Body:
    """A patient who neither drinks nor, at rest, makes urine."""
    body = healthy()
    set_parameter(body, "urine_rest_ml_per_s", 0.0)
    body.advance(200)
    return body


def test_closed_body_keeps_its_water_and_protein() -> None:
    body = closed()
    before, protein = water_ml(body), protein_g(body)
    after(body, 1200.0)
    assert water_ml(body) == pytest.approx(before, abs=1e-6)
    assert protein_g(body) == pytest.approx(protein, abs=1e-6)


def test_blood_lost_is_blood_missing() -> None:
    body = closed()
    set_parameter(body, "capillary_filtration_ml_per_s_per_mmhg", 0.0)
    set_parameter(body, "lymph_rest_ml_per_s", 0.0)
    body.advance(300)
    before, lost_before = body.read("blood_volume_ml"), body.read("blood_lost_ml")
    haemoglobin = body.read("haemoglobin_g_per_dl")
    after(body, 300.0, wound_1_ml_per_min=200.0, venesection_ml_per_min=50.0)
    lost = body.read("blood_lost_ml") - lost_before
    assert lost > 800.0
    assert body.read("blood_volume_ml") == pytest.approx(before - lost, abs=1e-3)
    assert body.read("haemoglobin_g_per_dl") == pytest.approx(haemoglobin, abs=1e-6)


@pytest.mark.parametrize(
    ("fluid", "volume_ml"), [("crystalloid", 1000.0), ("albumin", 500.0), ("whole_blood", 500.0), ("plasma", 500.0)]
)
def test_infused_fluid_is_in_blood_tissue_or_urine(fluid: str, volume_ml: float) -> None:
    body = closed()
    before = water_ml(body)
    after(body, 900.0, **{f"{fluid}_ml_per_min": 100.0, f"{fluid}_left_ml": volume_ml})
    assert body.read(f"{fluid}_left_ml") == 0.0
    assert water_ml(body) - before == pytest.approx(volume_ml, abs=6.0)


def test_burnt_leaking_bleeding_body_keeps_count() -> None:
    body = closed()
    before, protein = water_ml(body), protein_g(body)
    after(body, 1200.0, burnt_surface_frac=0.5, allergen_severity_frac=0.7)
    assert water_ml(body) == pytest.approx(before, abs=1.0)
    assert protein_g(body) == pytest.approx(protein, abs=1e-6)


def test_red_cells_raise_haemoglobin_and_crystalloid_lowers_it() -> None:
    body = healthy()
    before = body.read("haemoglobin_g_per_dl")
    thin = after(healthy(), 600.0, crystalloid_ml_per_min=100.0, crystalloid_left_ml=1000.0)
    thick = after(healthy(), 600.0, red_cells_ml_per_min=50.0, red_cells_left_ml=500.0)
    assert thin.read("haemoglobin_g_per_dl") < before - 1.0
    assert thick.read("haemoglobin_g_per_dl") > before + 0.3


def test_oxygen_of_a_closed_body_falls_by_what_tissues_use() -> None:
    body = after(healthy(), 3.0, paralysed=1.0, airway_block_frac=1.0)
    before, used, lost = oxygen_ml(body), 0.0, body.read("haemoglobin_g_per_dl")
    for _ in range(600):
        body.advance(10)
        used += body.read("oxygen_uptake_ml_per_min") / 600.0
    assert body.read("haemoglobin_g_per_dl") == pytest.approx(lost, rel=1e-3)
    assert before - oxygen_ml(body) == pytest.approx(used, rel=0.01)


def test_carbon_dioxide_of_a_closed_body_rises_by_what_tissues_make() -> None:
    body = after(healthy(), 3.0, paralysed=1.0, airway_block_frac=1.0)
    before, made = carbon_dioxide_ml(body), 0.0
    for _ in range(600):
        body.advance(10)
        made += body.read("carbon_dioxide_output_ml_per_min") / 600.0
    assert carbon_dioxide_ml(body) - before == pytest.approx(made, rel=0.01)
