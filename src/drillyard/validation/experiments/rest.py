"""A healthy adult at rest."""

from drillyard.validation.bench import Answers, Bench, answers


@answers(
    "GX028", "GX029", "GX031", "GX032", "GX048", "GX053", "GX076", "LC003", "LC005", "MN001", "MN003", "MN004", "CV001",
    "CV005", "CV006", "CV008", "CV011", "CV012", "CV015", "CV016", "CV020", "CV024", "CV108",
)  # fmt: skip
def man_at_rest(bench: Bench) -> Answers:
    """A man of 40 years, 70 kg, 175 cm, lying flat on air: means over two minutes."""
    patient = bench.patient()
    body_surface_m2 = 0.007184 * 70.0**0.425 * 175.0**0.725  # Du Bois 1916
    got = patient.mean(
        [
            "oxygen_delivery_ml_per_min", "oxygen_uptake_ml_per_min", "svo2_pct", "pvco2_mmhg", "paco2_mmhg",
            "cardiac_output_l_per_min", "minute_ventilation_l_per_min", "tidal_volume_ml", "respiratory_rate_per_min",
            "heart_rate_per_min", "central_venous_pressure_mmhg", "mean_arterial_pressure_mmhg",
            "systolic_pressure_mmhg", "diastolic_pressure_mmhg", "mean_pulmonary_artery_pressure_mmhg",
            "lv_end_diastolic_volume_ml", "lv_end_systolic_volume_ml", "ejection_fraction_frac", "stroke_volume_ml",
            "carbon_dioxide_output_ml_per_min", "lv_end_diastolic_pressure_mmhg",
        ],
        "2 min",
    )  # fmt: skip
    output = got["cardiac_output_l_per_min"]
    uptake = got["oxygen_uptake_ml_per_min"]
    carbon_dioxide = got["carbon_dioxide_output_ml_per_min"]
    # Enghoff: mixed expired tension follows from what leaves and the breath that carries it
    expired_mmhg = 0.863 * carbon_dioxide / got["minute_ventilation_l_per_min"]
    return {
        "GX028": got["oxygen_delivery_ml_per_min"],
        "GX029": 100.0 * uptake / got["oxygen_delivery_ml_per_min"],
        "GX031": got["svo2_pct"],
        "GX032": got["pvco2_mmhg"],
        "GX048": carbon_dioxide / (10.0 * output),
        "GX053": got["paco2_mmhg"],
        "GX076": (got["paco2_mmhg"] - expired_mmhg) / got["paco2_mmhg"],
        "LC003": got["tidal_volume_ml"] / 70.0,
        "LC005": got["respiratory_rate_per_min"],
        "MN001": uptake,
        "MN003": carbon_dioxide,
        "MN004": carbon_dioxide / uptake,
        "CV001": got["heart_rate_per_min"],
        "CV005": output / body_surface_m2,
        "CV006": got["central_venous_pressure_mmhg"],
        "CV008": got["lv_end_diastolic_pressure_mmhg"],
        "CV011": got["mean_arterial_pressure_mmhg"],
        "CV012": got["mean_pulmonary_artery_pressure_mmhg"],
        "CV015": got["lv_end_diastolic_volume_ml"],
        "CV016": got["lv_end_systolic_volume_ml"],
        "CV020": 100.0 * got["ejection_fraction_frac"],
        "CV024": 0.9 * got["systolic_pressure_mmhg"] / got["stroke_volume_ml"],
        "CV108": got["heart_rate_per_min"] / got["systolic_pressure_mmhg"],
    }


@answers("CV017", "CV018")
def woman_at_rest(bench: Bench) -> Answers:
    """A woman of 40 years, 62 kg, 165 cm: heart volumes."""
    patient = bench.patient(sex="female", mass_kg=62.0, height_cm=165.0)
    got = patient.mean(["lv_end_diastolic_volume_ml", "lv_end_systolic_volume_ml"], "1 min")
    return {"CV017": got["lv_end_diastolic_volume_ml"], "CV018": got["lv_end_systolic_volume_ml"]}


@answers("GX043")
def oxygen_at_sixty(bench: Bench) -> Answers:
    """Arterial oxygen of a man of 60 years, supine, on air."""
    return {"GX043": bench.patient(age_years=60.0).mean(["pao2_mmhg"], "1 min")["pao2_mmhg"]}


@answers("GX044", "CV013")
def seated_at_forty(bench: Bench) -> Answers:
    """Tilted upright at 40 years: alveolar to arterial difference and pulmonary artery pressure."""
    patient = bench.patient()
    patient.do("position", posture="sitting")
    patient.run("5 min")
    got = patient.mean(["pao2_mmhg", "paco2_mmhg", "mean_pulmonary_artery_pressure_mmhg"], "1 min")
    alveolar_mmhg = 0.2093 * (760.0 - 47.0) - got["paco2_mmhg"] / 0.82  # alveolar gas equation
    return {"GX044": alveolar_mmhg - got["pao2_mmhg"], "CV013": got["mean_pulmonary_artery_pressure_mmhg"]}


@answers("CV038")
def intrinsic_heart_rate(bench: Bench) -> Answers:
    """Both arms of the autonomic nerves to the heart blocked at 30 years."""
    patient = bench.patient(age_years=30.0)
    patient.control("autonomic_block", 1.0)
    patient.run("2 min")
    return {"CV038": patient.mean(["heart_rate_per_min"], "1 min")["heart_rate_per_min"]}


@answers("CV022", "CV025", "CV027")
def load_and_elastance(bench: Bench) -> Answers:
    """End-systolic elastance by raising resistance for a beat or two; arterial elastance; total compliance.

    The slope of end-systolic pressure over end-systolic volume between rest and a sudden rise of resistance, before
    any reflex answers.
    """
    patient = bench.patient()
    rest = patient.branch().mean(
        ["systolic_pressure_mmhg", "diastolic_pressure_mmhg", "lv_end_systolic_volume_ml", "stroke_volume_ml"], "1 min"
    )
    loaded = patient.branch()
    loaded.hold("vascular resistance", 1.6)
    loaded.run("6 s")
    after = loaded.mean(["systolic_pressure_mmhg", "lv_end_systolic_volume_ml"], "3 s")
    rise_mmhg = 0.9 * (after["systolic_pressure_mmhg"] - rest["systolic_pressure_mmhg"])
    elastance = rise_mmhg / (after["lv_end_systolic_volume_ml"] - rest["lv_end_systolic_volume_ml"])
    arterial = 0.9 * rest["systolic_pressure_mmhg"] / rest["stroke_volume_ml"]
    return {
        "CV022": elastance,
        "CV025": arterial / elastance,
        "CV027": rest["stroke_volume_ml"] / (rest["systolic_pressure_mmhg"] - rest["diastolic_pressure_mmhg"]),
    }
