"""Invented random kits, with a search for each, harder than most kits are.

Tubes add up to the same lengths by different sets, bellows end exactly where the frame is filled or just before, lenses lack
a plane, a thread or their marks, parts are lent or not owned. Rings have lengths to a thousandth, so that no two chains of
rings come out equal.
"""

import random
from collections.abc import Mapping, Sequence
from typing import Any

Members = dict[str, Any]

KITS = 76
BAYONET, SCREW, HOUSE = "bayonet-18.0", "M42x1", "house-bayonet"
REGISTERS: Mapping[str, float] = {BAYONET: 18.0, SCREW: 45.46, HOUSE: 25.0}
THREADS = ("M49x0.75", "M52x0.75")
SENSORS: Mapping[str, tuple[float, float]] = {
    "23.5x15.6": (23.5, 15.6),
    "36x24": (36.0, 24.0),
    "17.3x13.0": (17.3, 13.0),
}
TUBE_LENGTHS = (8, 10, 12, 18, 20, 28, 30)
"""10 + 20 = 12 + 18 = 30, 8 + 20 = 10 + 18 = 28, 8 + 12 = 20."""

STOPS = (1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22)
ARRANGEMENTS = ("normal", "reversed", "tubes", "bellows", "close-up-lens", "converter", "coupled", "objective")
GROUPS = (
    "cameras",
    "lenses",
    "tubes",
    "bellows",
    "reversing_rings",
    "step_rings",
    "mount_adapters",
    "close_up_lenses",
    "converters",
    "objectives",
)


def body(mount: str) -> Members:
    return {"mount": mount, "side": "body"}


def lens_side(mount: str) -> Members:
    return {"mount": mount, "side": "lens"}


def external(thread: str) -> Members:
    return {"thread": thread, "gender": "external"}


def internal(thread: str) -> Members:
    return {"thread": thread, "gender": "internal"}


def named(part_id: str, **members: Any) -> Members:
    return {"id": part_id, "name": "Invented", **members}


def opening(draw: random.Random, chance: float = 0.6) -> Members:
    return {"clear_diameter_mm": draw.choice([14.5, 19, 23.5, 30, 36, 40])} if draw.random() < chance else {}


class Drawing:
    """One kit and the search for it."""

    def __init__(self, seed: int) -> None:
        self.draw = random.Random(f"kit {seed}")
        self.sensor = self.draw.choice(list(SENSORS))
        self.tolerance = self.draw.choice([0.02, 0.05, 0.1, 0.1, 0.3])
        self.lenses = [self.lens(number) for number in range(self.draw.choice([1, 2, 2, 3, 4]))]
        self.subject = self.subject_sizes()

    def subject_sizes(self) -> Members:
        """Width, height or both, for a magnification that some extension of the first lens gives, or for any other."""
        focal_length = self.lenses[0]["settings"][0]["focal_length_mm"]
        by_extension = self.draw.uniform(8, 110) / focal_length
        magnification = self.draw.choice([by_extension, by_extension, self.draw.uniform(0.3, 4)])
        width, height = SENSORS[self.sensor]
        sizes = {
            "subject_width_mm": round(width / magnification, 3),
            "subject_height_mm": round(height / magnification * self.draw.uniform(0.7, 1.3), 3),
        }
        given = self.draw.choice([["subject_width_mm"], ["subject_height_mm"], list(sizes)])
        return {name: sizes[name] for name in given}

    @property
    def magnification(self) -> float:
        """What fills the frame exactly."""
        sides = zip(("subject_width_mm", "subject_height_mm"), SENSORS[self.sensor], strict=True)
        return min(side / float(self.subject[name]) for name, side in sides if name in self.subject)

    def kit(self) -> Members:
        """The whole kit."""
        made: Members = {
            "name": "random (invented)",
            "mounts": [{"id": HOUSE, "name": "Invented", "register_mm": REGISTERS[HOUSE]}],
            "cameras": [named("camera", mount=BAYONET, sensor=self.sensor, **self.camera_criterion())],
            "lenses": self.lenses,
            "tubes": [self.tube(number) for number in range(self.draw.choice([0, 2, 3, 3, 4, 4]))],
            "bellows": [self.bellows(number, self.lenses) for number in range(self.draw.choice([0, 1, 1, 2, 2]))],
            "reversing_rings": self.reversing_rings(),
            "step_rings": self.step_rings(),
            "mount_adapters": self.mount_adapters(),
            "close_up_lenses": [self.close_up_lens(number) for number in range(self.draw.choice([0, 1, 1, 2, 3]))],
            "converters": self.converters(),
            "objectives": self.objectives(),
        }
        for group in GROUPS[1:]:
            self.lend(made[group])
        return made

    def camera_criterion(self) -> Members:
        return {"pixel_pitch_um": 3.9} if self.draw.random() < 0.5 else {}

    def lend(self, parts: Sequence[Members]) -> None:
        """Some parts are lent, some not owned."""
        for part in parts:
            if self.draw.random() < 0.07:
                part[self.draw.choice(["available", "owned"])] = False

    def lens(self, number: int) -> Members:
        """Lens or zoom, with or without a mount, thread, marks and planes."""
        draw = self.draw
        with_mount = draw.random() < 0.85
        joins = {"mount": draw.choice([BAYONET, SCREW, SCREW])} if with_mount else {"rear_thread": "M39x26tpi"}
        made = named(f"lens-{number}", **joins, **self.ring_of_marks())
        if draw.random() < 0.85:
            made["front_thread"] = draw.choice(THREADS)
        register = REGISTERS[made["mount"]] if with_mount else None
        settings = range(draw.choice([1, 1, 2]))
        made["settings"] = [self.setting(each, register, number == 0) for each in settings]
        return made

    def ring_of_marks(self) -> Members:
        """A list of marks, a series, or nothing; perhaps from where it is sharp."""
        draw, chance = self.draw, self.draw.random()
        if chance < 0.08:
            return {}
        if chance < 0.25:
            ends = {"least_f_number": draw.choice([1.4, 2.8, 3.5]), "greatest_f_number": 16}
            return {"aperture_series": draw.choice(["full", "half"]), **ends}
        marks = sorted(draw.sample(STOPS, draw.randint(1, 5)))
        sharp = {"sharp_from_f_number": draw.choice(marks)} if draw.random() < 0.3 else {}
        return {"f_numbers": marks, **sharp}

    def setting(self, number: int, register: float | None, complete: bool) -> Members:
        """Focal length with most of its planes; its length from rim to flange comes out above 0."""
        draw = self.draw
        focal_length = round(draw.uniform(18, 140), 2)
        known: Members = {"id": f"s{number}", "focal_length_mm": focal_length}
        rear_plane = None if register is None else register - focal_length
        if register is None and (complete or draw.random() < 0.7):
            rear_plane = known["rear_principal_plane_mm"] = round(draw.uniform(-12, 4), 2)
        front_plane = round(draw.uniform(5, 45), 1)
        if complete or draw.random() < 0.8:
            known["front_principal_plane_mm"] = front_plane
        if draw.random() < 0.7:
            least = (rear_plane or 0.0) - front_plane
            known["principal_plane_separation_mm"] = round(least + draw.uniform(15, 70), 1)
        if draw.random() < 0.8:
            known["pupil_magnification"] = round(draw.uniform(0.6, 1.9), 2)
        if draw.random() < 0.45:
            known["front_protrusion_mm"] = round(draw.choice([draw.uniform(1, 9), draw.uniform(10, 60)]), 1)
        return known

    def tube(self, number: int) -> Members:
        """Tube between equal mounts, or from one mount to another."""
        front, rear = self.draw.choice(
            [(BAYONET, BAYONET)] * 4 + [(SCREW, SCREW)] * 2 + [(SCREW, BAYONET), (BAYONET, SCREW)]
        )
        ends = {"front": body(front), "rear": lens_side(rear)}
        if front == rear == SCREW and self.draw.random() < 0.3:
            ends = {"front": internal(SCREW), "rear": external(SCREW)}
        return named(f"tube-{number}", **ends, length_mm=self.draw.choice(TUBE_LENGTHS), **opening(self.draw))

    def bellows(self, number: int, lenses: Sequence[Members]) -> Members:
        """Bellows of an ordinary range, or one that ends where the first lens fills the frame, or the tolerance."""
        draw = self.draw
        front, rear = draw.choice([(BAYONET, BAYONET)] * 3 + [(SCREW, BAYONET), (HOUSE, BAYONET), (SCREW, SCREW)])
        least, greatest = draw.choice([30.0, 38.0, 45.0]), draw.choice([60.0, 120.0, 190.0])
        exact = self.exact_length(lenses[0])
        if draw.random() < 0.25:  # a focusing helicoid, which a screw lens can stand on at infinity focus
            front, rear, least, greatest = SCREW, BAYONET, 15.0, 40.0
        elif draw.random() < 0.6 and exact > 2:
            front = lenses[0].get("mount", BAYONET)
            rear = BAYONET
            end = exact + draw.choice([0.0, 0.0, 0.002, -0.002, *self.edges_of_tolerance(lenses[0])])
            least, greatest = draw.choice([(max(0.5, end - 40), end), (end, end + 60)])
        ends = {"front": body(front), "rear": lens_side(rear)}
        span = {"minimum_length_mm": max(least, 0.5), "maximum_length_mm": max(greatest, 0.5)}
        return named(f"bellows-{number}", **ends, **span, **opening(draw))

    def exact_length(self, lens: Members) -> float:
        """Total length at which the lens, mounted normally, fills the frame [mm]: m f + register - camera's register."""
        setting = lens["settings"][0]
        focal_length = float(setting["focal_length_mm"])
        behind = setting.get("rear_principal_plane_mm", REGISTERS.get(lens.get("mount", ""), 0.0) - focal_length)
        return (1 + self.magnification) * focal_length + float(behind) - REGISTERS[BAYONET]

    def edges_of_tolerance(self, lens: Members) -> list[float]:
        """How much longer or shorter it may be, a little more and a little less [mm]."""
        focal_length = float(lens["settings"][0]["focal_length_mm"])
        edges = [self.magnification / (1 + sign * self.tolerance * share) for sign in (1, -1) for share in (0.99, 1.01)]
        return [(edge - self.magnification) * focal_length for edge in edges]

    def thickness(self) -> float:
        return round(self.draw.uniform(1.5, 6), 3)

    def ring(self, part_id: str, front: Members, rear: Members, length: float | None = None) -> Members:
        threads = [20.32 for face in (front, rear) if face.get("thread") == "RMS"]
        clear = {"clear_diameter_mm": self.draw.choice([17.5, 19.5])} if threads else opening(self.draw, 0.4)
        length = self.thickness() if length is None else length
        return named(part_id, front=front, rear=rear, length_mm=length, **clear)

    def some(self, rings: Sequence[Members], chance: float) -> list[Members]:
        """Some of the rings, a few with a twin that differs in its clear diameter only."""
        chosen = [ring for ring in rings if self.draw.random() < chance]
        twins = [{**ring, "id": f"{ring['id']}-twin"} for ring in chosen if self.draw.random() < 0.1]
        for twin in twins:
            twin["clear_diameter_mm"] = self.draw.choice([13.5, 16, 18.5])
        return chosen + twins

    def reversing_rings(self) -> list[Members]:
        ways = [(thread, mount) for thread in THREADS for mount in (BAYONET, SCREW, HOUSE)]
        rings = [
            self.ring(f"reversing-{n}", external(thread), lens_side(mount)) for n, (thread, mount) in enumerate(ways)
        ]
        return self.some(rings, 0.6)

    def step_rings(self) -> list[Members]:
        small, large = THREADS
        rings = [
            self.ring("step-up", internal(large), external(small)),
            self.ring("step-down", internal(small), external(large)),
            self.ring("couple-0", external(small), external(large)),
            self.ring("couple-1", external(small), external(small)),
            self.ring("couple-2", external(large), external(large)),
            self.ring("objective-0", internal("RMS"), external("M42x1")),
            self.ring("objective-1", internal("RMS"), external(draw_thread(self.draw))),
        ]
        return self.some(rings, 0.7)

    def mount_adapters(self) -> list[Members]:
        rings = [
            self.ring("adapter", body(SCREW), lens_side(BAYONET), 27.46),
            self.ring("house-adapter", body(SCREW), lens_side(HOUSE), 20.46),
            self.ring("bushing", body("M39x26tpi"), lens_side(SCREW), 1.003),
            self.ring("house-to-bayonet", body(HOUSE), lens_side(BAYONET)),
        ]
        return self.some(rings[:1], 0.9) + self.some(rings[1:], 0.6)

    def close_up_lens(self, number: int) -> Members:
        power = {"power_dpt": self.draw.choice([2, 4, 10])} if self.draw.random() < 0.7 else {"focal_length_mm": 220.0}
        planes = {"length_mm": 11.0, "front_principal_plane_mm": 4.0, "rear_principal_plane_mm": -5.0}
        front = {"front_thread": draw_thread(self.draw)} if self.draw.random() < 0.3 else {}
        thick = planes if self.draw.random() < 0.4 else {}
        return named(f"close-up-{number}", thread=draw_thread(self.draw), **front, **power, **thick)

    def converters(self) -> list[Members]:
        draw = self.draw
        made = named("converter", mount=draw.choice([BAYONET, BAYONET, SCREW]), factor=draw.choice([1.4, 2]))
        known: Members = draw.choice([{"added_length_mm": 18}, {"added_length_mm": 30}, {"focal_length_mm": -80.0}])
        return [{**made, **known}] if draw.random() < 0.5 else []

    def objectives(self) -> list[Members]:
        """Perhaps an infinity-corrected objective, perhaps a finite one that may lack its focal length."""
        draw = self.draw
        made: list[Members] = []
        parfocal = {"parfocal_distance_mm": 60.0} if draw.random() < 0.6 else {}
        if draw.random() < 0.5:
            focal_length = self.lenses[0]["settings"][0]["focal_length_mm"]
            fitting = round(self.magnification * 200 / focal_length * draw.uniform(0.97, 1.03), 3)
            power = draw.choice([fitting, fitting, 2])
            strength = {"magnification": power, "numerical_aperture": 0.055, "tube_lens_focal_length_mm": 200}
            made.append(named("infinity", thread=draw_thread(draw), **strength, working_distance_mm=34, **parfocal))
        if draw.random() < 0.6:
            magnification = draw.choice([round(self.magnification * draw.uniform(0.97, 1.03), 3), 4])
            strength = {
                "magnification": magnification,
                "numerical_aperture": 0.1,
                "tube_length_mm": draw.choice([160, 110]),
            }
            focal_length = {"focal_length_mm": 38.0} if draw.random() < 0.5 else {}
            free = {"working_distance_mm": 17} if draw.random() < 0.8 else {}
            made.append(named("finite", thread=draw.choice(["RMS", "M42x1"]), **strength, **focal_length, **free))
        return made

    def search(self) -> Members:
        """What is asked of the kit."""
        draw = self.draw
        asked: Members = {**self.subject, "camera": self.camera(), "tolerance": self.tolerance}
        asked["best"] = draw.choice([3, 10, 40, 100])
        if draw.random() < 0.6:
            asked["apertures_per_set_up"] = draw.choice([1, 3, 60])
        if draw.random() < 0.5:
            asked["subject_depth_mm"] = draw.choice([0, 0.05, 0.3, 1, 4])
            if draw.random() < 0.4:
                asked["most_stack_frames"] = draw.choice([1, 3, 12])
        wishes: dict[str, Sequence[float]] = {
            "least_working_distance_mm": (10, 40, 80, 150),
            "least_clearance_mm": (0, 20, 60),
            "largest_subject_resolution_um": (2, 5, 12),
            "largest_light_loss_stops": (1, 3, 6),
            "longest_rig_mm": (90, 150, 260),
        }
        asked |= {name: draw.choice(values) for name, values in wishes.items() if draw.random() < 0.2}
        if draw.random() < 0.3:
            asked["arrangements"] = draw.sample(ARRANGEMENTS, draw.randint(4, 7))
        if draw.random() < 0.2:
            asked["depth_of_field_model"] = draw.choice(["geometric", "wave"])
        if draw.random() < 0.2:
            asked["wavelength_nm"] = 460
        return asked

    def camera(self) -> Members:
        return {"use": "camera"} if self.draw.random() < 0.7 else {"mount": BAYONET, "sensor": self.sensor}


def draw_thread(draw: random.Random) -> str:
    return draw.choice(THREADS)


def random_search(seed: int) -> Members:
    """A search with its kit, as the service takes it."""
    drawing = Drawing(seed)
    kit = drawing.kit()
    return {**drawing.search(), "kit": kit}


def renamed(asked: Members, seed: int) -> Members:
    """The same search, every id of the kit another one and the parts of each group in another order."""
    draw = random.Random(f"names {seed}")
    kit = {**asked["kit"]}
    parts = [part for group in GROUPS for part in kit[group]]
    ids = [f"p{number:03d}" for number in draw.sample(range(1000), len(parts))]
    names = {part["id"]: new for part, new in zip(parts, ids, strict=True)}
    for group in GROUPS:
        kit[group] = [{**part, "id": names[part["id"]]} for part in kit[group]]
        draw.shuffle(kit[group])
    camera = asked["camera"]
    return {**asked, "camera": {"use": names[camera["use"]]} if "use" in camera else camera, "kit": kit}
