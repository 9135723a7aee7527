"""Random jobs for comparing two implementations: seeded, within what the job file accepts, and rich in limits."""

from __future__ import annotations

from random import Random
from typing import Any

EDITIONS = ("2017", "2020", "2023", "2026")
COOKING_KW = (
    0.9,
    1.2,
    1.75,
    1.8,
    2.4,
    3.4,
    3.5,
    4.8,
    6,
    7.4,
    8,
    8.75,
    8.8,
    9.6,
    11,
    12,
    12.4,
    12.5,
    13.6,
    16,
    21.5,
    27,
)
FASTENED_VA = {
    "water-heater": (1500, 4500, 5500), "tankless-water-heater": (18000, 27000), "heat-pump-water-heater": (500, 4500),
    "dishwasher": (499, 500, 1200), "disposer": (480, 864, 1176), "microwave": (900, 1560), "hood": (120, 500),
    "compactor": (400, 1188), "fan": (80, 300, 750), "well-pump": (1100, 2400), "sump-pump": (480, 1250),
    "hydromassage-tub": (1200, 1800),
}  # fmt: skip
OTHERS_VA = {"spa": 7200, "sauna": 6000, "shop": 4680, "other": 1000, "pool-pump": 1840}


class Writer:
    """One random job, load by load."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.edition = random.choice(EDITIONS)
        self.system = random.choice(("120/240", "120/240", "208Y/120"))
        self.two_legs = 208 if self.system == "208Y/120" else 240
        self.loads: list[dict[str, Any]] = []
        self.groups: list[str] = []

    def job(self) -> dict[str, Any]:
        """The whole job."""
        dwelling = self.dwelling()
        for part in (self.cooking, self.dryers, self.fastened, self.climate, self.vehicles, self.others):
            part()
        service: dict[str, Any] = {"system": self.system}
        if dwelling["kind"] == "multifamily" and self.two_legs == 208:
            service["phases"] = self.random.choice((1, 3))
        return {
            "code": {
                "edition": self.edition,
                "readings": {"motor_at_75_pct": self.random.choice(("counted", "not-counted"))},
            },
            "job": {"name": "random"},
            "dwelling": dwelling,
            "service": service,
            "loads": self.loads,
        }

    def dwelling(self) -> dict[str, Any]:
        """A house, or groups of units."""
        kind = self.random.choice(("one-family", "one-family", "one-family", "two-family", "multifamily"))
        if kind == "one-family":
            return {"kind": kind, **self.circuits()}
        self.groups = ["Lower", "Upper"] if kind == "two-family" else ["Small flats", "Large flats"]
        count = 1 if kind == "two-family" else self.random.randint(2, 12)
        return {"kind": kind, "units": [{"name": name, "count": count, **self.circuits()} for name in self.groups]}

    def circuits(self) -> dict[str, Any]:
        """Area and circuits of one dwelling."""
        random = self.random
        area = random.choice(
            (random.randint(300, 6000), random.randint(300, 30_000), random.randint(3000, 60_000) / 10)
        )
        return {
            "floor_area_ft2": area,
            "small_appliance_circuits": random.choice((2, 2, 3, 4)),
            "laundry_circuits": random.choice((0, 1, 1, 1, 2)),
        }

    def add(self, kind: str, va: float, volts: int = 0, **more: Any) -> str:
        """One more load; gives its name."""
        random, name = self.random, f"{kind} {len(self.loads) + 1}"
        load: dict[str, Any] = {"name": name, "kind": kind, "volts": volts or self.two_legs, **more}
        if "fuel_burning" not in more and random.random() < 0.15:
            load["nameplate_a"] = round(va / load["volts"], 1)
        else:
            load["load_va"] = va
        load["status"] = random.choice(("new", "new", "existing", "removed") if "removed" not in more else ("new",))
        if self.groups and random.random() < 0.4:
            load["unit_group"] = random.choice(self.groups)
        elif self.groups and random.random() < 0.1:
            load["serves"] = "house"
        self.loads.append(load)
        return name

    def count(self) -> dict[str, int]:
        """Mostly one; sometimes as many as a whole building has."""
        random = self.random
        return {"count": random.choice((1, 1, 1, 2, 3, random.randint(4, 70)))} if random.random() < 0.4 else {}

    def cooking(self) -> None:
        """Up to four sizes of cooking appliances; few too large for the table."""
        random = self.random
        for _ in range(random.choice((0, 1, 1, 2, 3, 4))):
            kw = random.choice(COOKING_KW) if random.random() < 0.98 else 28
            volts = 120 if kw <= 1.75 and random.random() < 0.5 else self.two_legs
            fuel = {"fuel_burning": True} if random.random() < 0.05 else {}
            more = {"connection": "line-to-line"} if volts != 120 and random.random() < 0.1 else {}
            kind = random.choice(("range", "cooktop", "wall-oven"))
            self.add(kind, kw * 1000, volts, **self.count(), **fuel, **more)

    def dryers(self) -> None:
        """Electric and gas dryers on both sides of 5,000 VA."""
        random = self.random
        for _ in range(random.choice((0, 1, 1, 1, 2))):
            if random.random() < 0.15:
                self.add("dryer", 700, 120, fuel_burning=True)
            else:
                self.add("dryer", random.choice((2700, 4600, 5000, 5500, 7000)), **self.count())

    def fastened(self) -> None:
        """Appliances fastened in place, some too small to count, some not fastened after all."""
        random = self.random
        for _ in range(random.choice((0, 2, 3, 4, 5, 7))):
            kind = random.choice(list(FASTENED_VA))
            more: dict[str, Any] = {}
            if random.random() < 0.15:
                more["motor_hp"] = random.choice((0.2, 0.25, 0.5))
            if random.random() < 0.1:
                more["fastened"] = False
            if random.random() < 0.2:
                more["count"] = random.choice((2, 3))
            if kind == "water-heater" and random.random() < 0.2:
                more["fuel_burning"] = True
            va = random.choice(FASTENED_VA[kind])
            self.add(kind, va, 120 if va < 2000 else self.two_legs, **more)

    def climate(self) -> None:
        """One or two of the ways in which houses are heated and cooled."""
        random = self.random
        ways = [
            self.baseboard,
            self.gas_and_cooling,
            self.heat_pump,
            self.dual_fuel,
            self.mini_splits,
            self.window_units,
        ]
        for way in random.sample(ways, random.choice((0, 1, 1, 1, 2))):
            way()

    def motor(self, va: float, volts: int) -> dict[str, Any]:
        """Sometimes the amperes of the motor inside."""
        return {"motor_a": round(0.8 * va / volts, 1)} if self.random.random() < 0.5 else {}

    def baseboard(self) -> None:
        """Heaters room by room."""
        for _ in range(self.random.choice((1, 3))):
            self.add("space-heat", self.random.choice((1000, 1500, 3000)), **self.count())

    def gas_and_cooling(self) -> None:
        """A gas furnace whose blower may serve the cooling, and an air conditioner."""
        random = self.random
        va = random.choice((3600, 5280, 7680))
        cooling = self.add("air-conditioner", va, **self.motor(va, self.two_legs))
        more: dict[str, Any] = {"runs_with": [cooling]} if random.random() < 0.5 else {}
        kind = random.choice(("furnace", "boiler"))
        if kind == "furnace" and not more and random.random() < 0.5:
            more = {"moves_cooling_air": random.random() < 0.5}
        self.add(kind, random.choice((400, 600, 1200)), 120, fuel_burning=True, **more)

    def heat_pump(self) -> None:
        """A heat pump with strips that run with it or are held out by it, a blower, sometimes twice."""
        random = self.random
        for _ in range(random.choice((1, 1, 2))):
            va = random.choice((2400, 4080, 9600))
            pump = self.add("heat-pump", va, **self.motor(va, self.two_legs))
            held = random.random() < 0.4
            strips = self.add(
                "supplemental-heat", random.choice((3000, 5000, 9600)),
                **({"locked_out_by": [pump]} if held else {"runs_with": [pump]}),
            )  # fmt: skip
            blower_volts = random.choice((120, self.two_legs))
            self.add("fan", random.choice((500, 720, 1176)), blower_volts, runs_with=[pump, strips])

    def dual_fuel(self) -> None:
        """A heat pump that a gas furnace holds out."""
        furnace = self.add("furnace", 800, 120, fuel_burning=True)
        va = self.random.choice((3600, 500))
        self.add("heat-pump", va, **self.motor(va, self.two_legs), locked_out_by=[furnace])

    def mini_splits(self) -> None:
        """Mini-splits and an electric furnace."""
        self.add("mini-split", self.random.choice((1200, 2600)), **self.count())
        if self.random.random() < 0.5:
            self.add("furnace", self.random.choice((5000, 10_000)))

    def window_units(self) -> None:
        """Cooling at 120 V beside electric heat of nearly the same size."""
        self.add("air-conditioner", 1300, 120, count=self.random.choice((1, 2)), **self.motor(1300, 120))
        self.add("space-heat", self.random.choice((1000, 1300, 1400, 1600, 2800)))

    def vehicles(self) -> None:
        """Vehicle supply, some of it turned down."""
        random = self.random
        if random.random() < 0.4:
            more: dict[str, Any] = {}
            if random.random() < 0.4:
                more = {"setting_a": random.choice((20, 40)), "setting_locked": random.random() < 0.7}
            volts = random.choice((self.two_legs, self.two_legs, 120))
            self.add("ev-supply", 1440 if volts == 120 else random.choice((4800, 7200, 7680, 11_520)), volts, **more)

    def others(self) -> None:
        """Spas, pumps, workshops, and what has no kind of its own."""
        random = self.random
        for kind in random.sample(list(OTHERS_VA), random.choice((0, 0, 1, 2))):
            more: dict[str, Any] = {"fastened": random.random() < 0.5} if kind == "other" else {}
            if kind == "pool-pump" and random.random() < 0.5:
                more["counted_as"] = random.choice(("appliance", "motor"))
            self.add(kind, OTHERS_VA[kind], random.choice((120, self.two_legs)), **more)


def random_job(seed: int) -> dict[str, Any]:
    """The job of this seed."""
    return Writer(Random(seed)).job()
