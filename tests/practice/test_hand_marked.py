"""Hand-marked answers of every family: what a learner wrote, and how a teacher judges each line.

The right and the wrong numbers are those that the trade knows as one slip each; the jobs are invented.
"""

from __future__ import annotations

import pytest

from calc.job import parse_job
from calc.practice import mark, question_from_job
from calc.practice.answers import read_size
from calc.practice.marking import OR

RIGHT = ("right", "")
WRONG = ("wrong", "")

BOX = """
[[boxes]]
name = "B"
{}
"""
JUNCTION = BOX.format("""
marked_in3 = 30.3
internal_clamps = "clamps"
cables = ["3 x 12/2 with ground", "2 x 10/2 with ground"]
""")
SINGLE = BOX.format("""
marked_in3 = 18.0
cables = ["2 x 12/2 with ground"]
devices = [{ kind = "receptacle", wire = 12 }]
""")
OCTAGON = BOX.format("""
box = "4 x 1-1/2 octagon"
internal_clamps = "clamps"
cables = ["3 x 14/2 with ground"]
canopy = true
supports = "luminaire"
fixture_wires = ["2 x 18"]
""")
LOOPED = BOX.format("""
box = "4 x 2-1/8 square"
ring_in3 = 3.5
conductors = ["4 x 12 THHN + 12 ground"]
through = ["3 x 12 THHN"]
looped = ["2 x 12 THHN"]
devices = [{ kind = "receptacle", wire = 12 }]
""")
SQUARE = BOX.format("""
box = "4 x 1-1/2 square"
cables = ["3 x 12/2 with ground"]
""")
DIVIDED = BOX.format("""
marked_in3 = 32.0
gangs = 2
material = "nonmetallic"
barriers = [{ material = "nonmetallic" }]
compartments = [
    { name = "signals", low_voltage = true },
    { name = "power", cables = ["2 x 12/2 with ground"], devices = [{ kind = "receptacle", wire = 12 }] },
]
""")
SHOP = """
[[runs]]
name = "Shop"
role = "feeder"
fed_from = "utility"
feeds = "Shop panel"
volts = 240
calculated_a = 40
breaker_a = 60
length_ft = 145
size = 6
material = "copper"
insulation = "THWN-2"
wiring_method = "PVC-80"
[[panels]]
name = "Shop panel"
"""
LIGHTS = (
    SHOP
    + """
[[runs]]
name = "Lights"
role = "branch"
fed_from = "Shop panel"
volts = 120
calculated_a = 12
length_ft = 60
cable = "12/2 with ground"
"""
)
MULTIWIRE = LIGHTS.replace("12/2 with ground", "12/3 with ground") + "multiwire = true\nneutral_a = 0\n"
POT = """
[code.readings]
transformer_impedance = "as-marked"
[service]
system = "120/240"
[fault]
transformer_kva = 37.5
impedance_pct = 1.6
"""
PIPE = """
[[raceways]]
name = "R"
kind = "PVC-80"
length_ft = {}
holds = ["3 x 1 THHN + 8 ground"]
"""
SERVICE = """
[dwelling]
kind = "one-family"
[service]
rating_a = 200
main_a = 200
[grounding]
water_piping = "metal"
intersystem_bonding = true
electrodes = [{{ kind = "footing", length_ft = 22 }}, {{ kind = "rod", count = 2 }}]
[[panels]]
name = "Main"
fed_from = "utility"
service_equipment = true
[[runs]]
name = "Service"
role = "service"
fed_from = "utility"
feeds = "Main"
volts = 240
calculated_a = 150
neutral_a = 40
material = "{}"
size = "{}"
insulation = "XHHW-2"
wiring_method = "PVC-40"
terminations_from_c = 75
terminations_to_c = 75
"""
ATTIC = """
[[runs]]
name = "Hole"
role = "branch"
fed_from = "utility"
volts = 120
calculated_a = 16
breaker_a = 20
cable = "12/2 NM with ground"
location = "attic"
ambient_f = 113
in_insulation = true
cables_bundled = 4
"""
LUG = """
[[runs]]
name = "Lug"
role = "feeder"
fed_from = "utility"
volts = 240
neutral = false
calculated_a = 60
breaker_a = 60
size = 6
material = "copper"
insulation = "THWN-2"
wiring_method = "PVC-40"
terminations_from_c = 75
terminations_to_c = 75
"""
GROWN = LUG.replace('"feeder"', '"branch"').replace("calculated_a = 60", "calculated_a = 14").replace(
    "breaker_a = 60", "breaker_a = 20").replace("size = 6", "size = 10")  # fmt: skip

CIRCUIT = """
[[panels]]
name = "Main"
fed_from = "utility"
[[circuits]]
name = "C"
panel = "Main"
{}
"""
TWO_POLE = CIRCUIT.format('purpose = "individual"\npoles = 2')
LOAD = """
[[loads]]
name = "{}"
kind = "{}"
load_va = {}
volts = {}
circuit = "C"
{}
"""
TANK = TWO_POLE + LOAD.format("Tank", "water-heater", 4500, 240, "")
STRIPS = TWO_POLE + LOAD.format("Strips", "supplemental-heat", 9600, 240, "") + LOAD.format(
    "Blower", "fan", 720, 240, 'runs_with = ["Strips"]')  # fmt: skip
BIG_RANGE = TWO_POLE + LOAD.format("R", "range", 14400, 240, "")
COOKING = (
    TWO_POLE
    + LOAD.format("Cooktop", "cooktop", 7400, 240, "")
    + LOAD.format("Ovens", "wall-oven", 4800, 240, "count = 2")
)
ONE_RECEPTACLE = CIRCUIT.format(
    'purpose = "individual"\nbreaker_a = 20\ncable = "12/2 with ground"\nreceptacle_a = 15\nsingle_receptacle = true'
) + LOAD.format("Dishwasher", "dishwasher", 1200, 120, 'connected_by = "cord"')
SWITCH_LEG = CIRCUIT.format(
    'purpose = "general"\nbreaker_a = 20\ncable = "12/2 with ground"\nother_cables = ["14/2 with ground"]\nload_va = 900'
)
HALF = 'purpose = "small-appliance"\nbreaker_a = 20\ncable = "12/3 with ground"\nload_va = 1920\npositions = [{}]'
ONE_LEG = CIRCUIT.format(HALF.format(1) + '\nmultiwire_with = "D"') + CIRCUIT.format(HALF.format(5)).replace(
    '"C"', '"D"').partition("[[circuits]]")[2].join(["[[circuits]]", ""])  # fmt: skip
HOUSE = (
    CIRCUIT.format('purpose = "general"\nload_va = 900')
    + """
[dwelling]
kind = "one-family"
floor_area_ft2 = 3240
"""
)
FAMILY_ROOM = """
[[rooms]]
name = "Family room"
use = "family"
light = "wall-switched"
walls = [{ name = "north", length_ft = 18 }, { name = "east", length_ft = 14 }, { name = "south", length_ft = 18 },
         { name = "west", length_ft = 14 }]
openings = [
    { kind = "fixed-glass", wall = "north", at_ft = 6, width_ft = 3 },
    { kind = "slider", wall = "north", at_ft = 9, width_ft = 3 },
    { kind = "fireplace", wall = "east", at_ft = 4.5, width_ft = 5 },
    { kind = "cased-opening", wall = "south", at_ft = 13.5, width_ft = 3 },
]
"""
BEDROOM = """
[[rooms]]
name = "Bedroom"
use = "bedroom"
light = "wall-switched"
walls = [{ name = "north", length_ft = 12 }, { name = "east", length_ft = 11 }, { name = "south", length_ft = 12 },
         { name = "west", length_ft = 11 }]
openings = [
    { kind = "door", wall = "east", at_ft = 3, width_ft = 5, leads_to = "closet" },
    { kind = "cabinet", wall = "south", at_ft = 5, width_ft = 7, work_surface = true },
    { kind = "door", wall = "west", at_ft = "4 in", width_ft = "2 ft 8 in" },
]
"""
KITCHEN = """
[[rooms]]
name = "Kitchen"
use = "kitchen"
light = "wall-switched"
[[rooms.counters]]
name = "north counter"
length_in = 172
depth_in = 25
breaks = [
    { kind = "cooktop", at_in = 38, width_in = 30 },
    { kind = "sink", at_in = 92, width_in = 33, behind_in = 4 },
    { kind = "refrigerator", at_in = 136, width_in = 36 },
]
[[rooms.counters]]
name = "east counter"
length_in = 50
depth_in = 25
[[rooms.counters]]
name = "island"
kind = "island"
length_in = 72
depth_in = 36
provision = true
"""

HAND_MARKED = [
    # box fill
    ("box-fill", SINGLE, "", {"device_in3[receptacle on 12 AWG]": "2.25", "required_in3": "13.50"},
     {"device_in3[receptacle on 12 AWG]": ("slip", "yoke_once"), "required_in3": RIGHT}),
    ("box-fill", SINGLE, "", {"required_in3": "15.75"}, {"required_in3": RIGHT}),
    ("box-fill", SINGLE, "", {"conductors_in3[12 AWG]": "13.5"},
     {"conductors_in3[12 AWG]": ("slip", "grounds_as_wires")}),
    ("box-fill", JUNCTION, "", {"grounds_in3": "12.5", "required_in3": "38.5"},
     {"grounds_in3": ("slip", "every_ground"), "required_in3": RIGHT}),
    ("box-fill", JUNCTION, "", {"grounds_in3": "3.0625"}, {"grounds_in3": ("slip", "quarter_on_smaller")}),
    ("box-fill", JUNCTION, "", {"grounds_in3": "2.5"}, {"grounds_in3": ("slip", "one_for_all_grounds")}),
    ("box-fill", JUNCTION, "", {"grounds_in3": "3.125", "required_in3": "29.125"},
     {"grounds_in3": RIGHT, "required_in3": RIGHT}),
    ("box-fill", OCTAGON, "", {"required_in3": "14.0"}, {"required_in3": ("slip", "clamps_forgotten")}),
    ("box-fill", OCTAGON, "", {"canopy_wires_in3": "3", "required_in3": "19.0"},
     {"canopy_wires_in3": ("slip", "canopy_counted"), "required_in3": RIGHT}),
    ("box-fill", OCTAGON, "", {"required_in3": "16"}, {"required_in3": RIGHT}),
    ("box-fill", LOOPED, "", {"looped_in3[12 AWG]": "4.5", "required_in3": "27.0"},
     {"looped_in3[12 AWG]": ("slip", "loop_once"), "required_in3": RIGHT}),
    ("box-fill", SQUARE, "", {"box_in3": "24"}, {"box_in3": ("slip", "outside_size")}),
    ("box-fill", DIVIDED, "", {"provided_in3": "32"}, {"provided_in3": ("slip", "divider_ignored")}),
    ("box-fill", DIVIDED, "", {"provided_in3": "16"}, {"provided_in3": ("slip", "divider_takes_nothing")}),
    ("box-fill", DIVIDED, "", {"provided_in3": "15.5"}, {"provided_in3": RIGHT}),
    # voltage drop and fault current
    ("voltage-drop", SHOP, "Shop", {"drop_v": "2.85", "drop_pct": "1.19"},
     {"drop_v": ("slip", "one_way"), "drop_pct": RIGHT}),
    ("voltage-drop", SHOP, "Shop", {"drop_v": "5.70", "drop_pct": "4.75"},
     {"drop_v": RIGHT, "drop_pct": ("slip", "at_120")}),
    ("voltage-drop", SHOP, "Shop", {"drop_v": "8.54", "drop_pct": "3.56"},
     {"drop_v": ("slip", "breaker_amperes"), "drop_pct": RIGHT}),
    ("voltage-drop", SHOP, "Shop", {"drop_v": "4.93"}, {"drop_v": ("slip", "three_phase")}),
    ("voltage-drop", SHOP, "Shop", {"drop_v": "4.60"}, {"drop_v": ("slip", "cold_copper")}),
    ("voltage-drop", SHOP, "Shop", {"max_length_ft": "367"}, {"max_length_ft": ("slip", "twice_as_long")}),
    ("voltage-drop", SHOP, "Shop", {"max_length_ft": "183", "size_for_limit": "#6"},
     {"max_length_ft": RIGHT, "size_for_limit": RIGHT}),
    ("voltage-drop", SHOP, "Shop", {"size_for_limit": "8 AWG"}, {"size_for_limit": WRONG}),
    ("voltage-drop", SHOP, "Shop", {"size_for_limit": "large"}, {"size_for_limit": ("unreadable", "")}),
    ("voltage-drop", LIGHTS, "Lights", {"total_drop_pct": "7.06"}, {"total_drop_pct": ("slip", "volts_added")}),
    ("voltage-drop", MULTIWIRE, "Lights", {"drop_v": "2.78", "drop_pct": "2.32"},
     {"drop_v": ("slip", "there_and_back"), "drop_pct": RIGHT}),
    ("fault-current", POT, "", {"available_ll_a": "19,531"}, {"available_ll_a": ("slip", "available_at_120")}),
    ("fault-current", POT, "", {"available_ll_a": "9,766", "available_ln_a": "14,648"},
     {"available_ll_a": RIGHT, "available_ln_a": RIGHT}),
    ("fault-current", POT, "", {"full_load_a": "312.5", "available_ll_a": "19,531"},
     {"full_load_a": ("slip", "full_load_at_120"), "available_ll_a": RIGHT}),
    ("fault-current", POT, "", {"available_ln_a": "9,766"}, {"available_ln_a": ("slip", "as_line_to_line")}),
    # raceway
    ("raceway", PIPE.format(20), "", {"fill_in2": "0.469"}, {"fill_in2": ("slip", "ground_left_out")}),
    ("raceway", PIPE.format(20), "", {"limit_pct": "53 %"}, {"limit_pct": ("slip", "as_one_conductor")}),
    ("raceway", PIPE.format(2.5), "", {"limit_pct": "60 %"}, {"limit_pct": ("slip", "as_nipple")}),
    ("raceway", PIPE.format(20), "", {"smallest_trade_size": "1-1/4"},
     {"smallest_trade_size": ("slip", "schedule_40_size")}),
    ("raceway", PIPE.format(20), "", {"fill_in2": "0.505", "smallest_trade_size": "1-1/2 in"},
     {"fill_in2": RIGHT, "smallest_trade_size": RIGHT}),
    # conductors
    ("feeder", ATTIC, "", {"adjusted_a": "21.0"}, {"adjusted_a": ("slip", "air_left_out")}),
    ("feeder", ATTIC, "", {"adjusted_a": "26.1"}, {"adjusted_a": ("slip", "adjustment_left_out")}),
    ("feeder", ATTIC, "", {"adjusted_a": "9.94"}, {"adjusted_a": ("slip", "from_limit_column")}),
    ("feeder", ATTIC, "", {"adjusted_a": "18.3"}, {"adjusted_a": RIGHT}),
    ("feeder", LUG, "", {"ampacity_a": "75"}, {"ampacity_a": ("slip", "no_terminals")}),
    ("feeder", LUG, "", {"ampacity_a": "65 A"}, {"ampacity_a": RIGHT}),
    ("feeder", GROWN, "", {"equipment_ground_size": "12"}, {"equipment_ground_size": ("slip", "not_grown")}),
    ("feeder", GROWN, "", {"equipment_ground_size": "10 AWG Cu"}, {"equipment_ground_size": RIGHT}),
    # grounding
    ("grounding", SERVICE.format("aluminum", "4/0"), "", {"electrode_table[copper]": "6"},
     {"electrode_table[copper]": ("slip", "circuit_table")}),
    ("grounding", SERVICE.format("aluminum", "4/0"), "", {"electrode_table[copper]": "4"},
     {"electrode_table[copper]": RIGHT}),
    ("grounding", SERVICE.format("aluminum", "4/0"), "", {"electrode_conductor[rods]": "4 Cu"},
     {"electrode_conductor[rods]": RIGHT}),  # larger than asked
    ("grounding", SERVICE.format("aluminum", "4/0"), "", {"electrode_conductor[concrete-encased electrode]": "6"},
     {"electrode_conductor[concrete-encased electrode]": ("slip", "like_a_rod")}),
    ("grounding", SERVICE.format("aluminum", "1/0"), "", {"electrode_table[copper]": "8"},
     {"electrode_table[copper]": RIGHT}),
    ("grounding", SERVICE.format("aluminum", "4/0"), "", {"electrodes_count": "2"},
     {"electrodes_count": ("slip", "kinds_counted")}),
    # branch circuits
    ("branch-circuits", HOUSE, "J", {"general_circuits_15a": "7"}, {"general_circuits_15a": ("slip", "eighty_percent_15")}),
    ("branch-circuits", HOUSE, "J", {"general_circuits_15a": "6 circuits", "general_circuits_20a": "6"},
     {"general_circuits_15a": RIGHT, "general_circuits_20a": ("slip", "eighty_percent_20")}),
    ("branch-circuits", TANK, "", {"design_a": "18.75 A", "breaker_a": "20"},
     {"design_a": ("slip", "tank_as_it_stands"), "breaker_a": RIGHT}),
    ("branch-circuits", TANK, "", {"design_a": "23.4", "breaker_a": "20"},
     {"design_a": RIGHT, "breaker_a": ("slip", "breaker_for_plain_current")}),
    ("branch-circuits", STRIPS, "", {"design_a": "43", "breaker_a": "45 A"},
     {"design_a": ("slip", "heat_as_it_stands"), "breaker_a": RIGHT}),
    ("branch-circuits", STRIPS, "", {"load_va": "9,600", "load_a": "40"},
     {"load_va": ("slip", "strips_alone"), "load_a": RIGHT}),
    ("branch-circuits", BIG_RANGE, "", {"cooking_excess_kw": "3", "cooking_circuit_kw": "9.2 kW"},
     {"cooking_excess_kw": ("slip", "started_kilowatt"), "cooking_circuit_kw": RIGHT}),
    ("branch-circuits", COOKING, "", {"cooking_circuit_kw": "9.35", "load_a": "38.96"},
     {"cooking_circuit_kw": ("slip", "by_column_b"), "load_a": RIGHT}),
    ("branch-circuits", COOKING, "", {"cooking_circuit_kw": "10", "load_a": "41.7", "breaker_a": "50"},
     {"cooking_circuit_kw": RIGHT, "load_a": RIGHT, "breaker_a": ("slip", "breaker_one_up")}),
    ("branch-circuits", ONE_RECEPTACLE, "", {"single_receptacle_rating": "passes"},
     {"single_receptacle_rating": ("slip", "single_like_several")}),
    ("branch-circuits", ONE_RECEPTACLE, "", {"single_receptacle_rating": "falls short"}, {"single_receptacle_rating": RIGHT}),
    ("branch-circuits", SWITCH_LEG, "",
     {"other_cable_breaker_a[14/2 with ground]": "20", "other_cable_protected[14/2 with ground]": "yes"},
     {"other_cable_breaker_a[14/2 with ground]": ("slip", "leg_as_the_circuit"),
      "other_cable_protected[14/2 with ground]": RIGHT}),
    ("branch-circuits", SWITCH_LEG, "", {"other_cable_protected[14/2 with ground]": "ok"},
     {"other_cable_protected[14/2 with ground]": ("slip", "leg_protected")}),
    ("branch-circuits", ONE_LEG, "C and D", {"shared_neutral_a": "0", "opposite_legs": "passes"},
     {"shared_neutral_a": ("slip", "taken_as_opposite"), "opposite_legs": ("slip", "legs_by_columns")}),
    ("branch-circuits", ONE_LEG, "C and D", {"shared_neutral_a": "32 A", "shared_neutral_most_a": "20"},
     {"shared_neutral_a": RIGHT, "shared_neutral_most_a": ("slip", "one_breaker_only")}),
    # receptacles
    ("receptacles", FAMILY_ROOM, "", {"fewest_needed": "8"}, {"fewest_needed": ("slip", "walls_one_by_one")}),
    ("receptacles", FAMILY_ROOM, "", {"fewest_needed": "6"}, {"fewest_needed": RIGHT}),
    # five is what two slips give here, so both are told
    ("receptacles", FAMILY_ROOM, "", {"fewest_needed": "5"}, {"fewest_needed": ("slip", "all_wall_over_twelve")}),
    ("receptacles", FAMILY_ROOM, "", {"wall_space_in[wall space 3]": "258", "fewest_in_space[wall space 3]": "2"},
     {"wall_space_in[wall space 3]": ("slip", "glass_as_break"), "fewest_in_space[wall space 3]": RIGHT}),
    ("receptacles", FAMILY_ROOM, "", {"wall_space_in[wall space 3]": "276 in"},
     {"wall_space_in[wall space 3]": ("slip", "stub_dropped")}),
    ("receptacles", FAMILY_ROOM, "", {"wall_space_in[wall space 3]": "24.5"}, {"wall_space_in[wall space 3]": RIGHT}),
    ("receptacles", FAMILY_ROOM, "", {"fewest_in_space[wall space 2]": "1"},
     {"fewest_in_space[wall space 2]": ("slip", "rounded_down")}),
    ("receptacles", BEDROOM, "", {"fewest_needed": "4"}, {"fewest_needed": RIGHT}),
    ("receptacles", BEDROOM, "", {"fewest_needed": "3"}, {"fewest_needed": ("slip", "desk_as_break")}),
    ("receptacles", KITCHEN, "", {"fewest_needed": "3"}, {"fewest_needed": ("slip", "counter_by_average")}),
    ("receptacles", KITCHEN, "", {"fewest_needed": "4"}, {"fewest_needed": RIGHT}),
    ("receptacles", KITCHEN, "", {"island_needed[island]": "2", "fewest_needed": "6"},
     {"island_needed[island]": ("slip", "island_by_area"), "fewest_needed": RIGHT}),
    ("receptacles", KITCHEN, "", {"island_needed[island]": "1"}, {"island_needed[island]": ("slip", "island_one_each")}),
    # a wrong size is carried on: what follows from it is right
    ("grounding", SERVICE.format("aluminum", "4/0"), "",
     {"electrode_table[copper]": "6", "electrode_conductor[concrete-encased electrode]": "6"},
     {"electrode_table[copper]": ("slip", "circuit_table"), "electrode_conductor[concrete-encased electrode]": RIGHT}),
    ("feeder", LUG.replace("size = 6\n", ""), "", {"size_tried": "8", "limit_a": "50", "ampacity_a": "50 A"},
     {"size_tried": ("slip", "next_size_up"), "limit_a": RIGHT, "ampacity_a": RIGHT}),
    ("feeder", LUG.replace("size = 6\n", ""), "", {"size_tried": "6", "ampacity_a": "65 A"},
     {"size_tried": RIGHT, "ampacity_a": RIGHT}),
    ("raceway", PIPE.format(20), "", {"smallest_trade_size": "1-1/4", "fill_pct": "40.8"},
     {"smallest_trade_size": ("slip", "schedule_40_size"), "fill_pct": RIGHT}),
]  # fmt: skip


@pytest.mark.parametrize(("family", "job", "subject", "answers", "expected"), HAND_MARKED)
def test_marked_as_a_teacher_would(
    family: str, job: str, subject: str, answers: dict[str, str], expected: dict[str, tuple[str, str]]
) -> None:
    text = f'[code]\nedition = "2023"\n[job]\nname = "J"\n{job}'
    asked = question_from_job(family, parse_job(text.encode()), subject)
    assert set(answers) <= set(asked.asked)
    marked = {one.key: (one.verdict, one.slip.split(OR)) for one in mark(asked, answers) if one.key in answers}
    assert {key: verdict for key, (verdict, _) in marked.items()} == {
        key: verdict for key, (verdict, _) in expected.items()
    }
    assert all(slip in marked[key][1] for key, (_, slip) in expected.items())


@pytest.mark.parametrize("text", ["4/0", "#4/0", "4/0 AWG", "4/0 Al", "1-1/4 in", "250 kcmil", '2"'])
def test_sizes_are_read_as_the_trade_writes_them(text: str) -> None:
    assert read_size(text) == (text, "")


@pytest.mark.parametrize("text", ["", "four", "4/0 feet", "-4"])
def test_what_is_no_size_is_told(text: str) -> None:
    size, told = read_size(text)
    assert size is None
    assert "such as" in told
