"""A whole set-up: each part's matrix, their product, the equivalent lens and its pupil, then the formulas of one lens."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, cast

from closeup_service.optics import formulas
from closeup_service.optics.aperture import visible_stops
from closeup_service.optics.arithmetic import POINT, R
from closeup_service.optics.diffraction import optimum_effective_f_number
from closeup_service.optics.disc import radius_of
from closeup_service.optics.formulas import FIRST_ZERO
from closeup_service.optics.lens import ThickLens
from closeup_service.optics.matrices import Chain, Matrix, chain_matrices, first_powered_part, matrix_to_sensor
from closeup_service.optics.motion import movement_drawing
from closeup_service.optics.parts import Part, exit_pupil_place, lens_part
from closeup_service.optics.stack import OVERLAP, allowed_step
from closeup_service.optics.train import front_to_plane_distance, planes_to_sensor_distance
from closeup_service.set_ups.clearance import protrusion_of, room_before
from closeup_service.set_ups.elements import (
    PARFOCAL_MM,
    behind_shoulder,
    converter_focal_length,
    finite_focal_length,
    infinity_focal_length,
    objective_stop,
    power_of_dioptres,
    rear_gap_of_lens,
)
from closeup_service.set_ups.set_up import SetUp, build_parts, evaluate
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula, Found
from closeup_service.worked.lens import LIGHT_LOSS, frame_steps
from closeup_service.worked.sharpness import blur_steps, depth_steps, diffraction_of, finite_pupil_distance
from closeup_service.worked.sources import ALGEBRA, DEFINITION, HANSMA, HECHT, MATRICES, OBJECTIVES, PRACTICE
from closeup_service.worked.stack import frames_over

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def behind_gap(height: R, slope: R, gap: R) -> R:
    """Matrix element A or B, the height of a ray, so far behind [mm]."""
    return Matrix(height, 0.0, slope, 0.0).cross_gap(gap).a


def behind_part(slope: R, height: R, power: R) -> R:
    """Matrix element C or D, the slope of a ray, behind a part of this power [1/mm]."""
    return Matrix(height, 0.0, slope, 0.0).refract(power).c


def height_at_stop(a: R, b: R, distance: R) -> R:
    """Height at a plane [mm] for a slope of 1 from the subject."""
    return Matrix(a, b, 0.0, 0.0).height(distance)


def subject_distance(a: R, b: R) -> R:
    """Subject to the first principal plane [mm], by the matrix to the sensor."""
    return Matrix(a, b, 0.0, 0.0).subject_distance


def close_up_focal_length(dioptres: R) -> R:
    """Focal length of a close-up lens [mm] by its power."""
    return 1 / power_of_dioptres(dioptres)


def stop_radius(focal_length: R, f_number: R, pupil_magnification: R) -> R:
    """Radius of the exit pupil of a lens [mm]."""
    lens = ThickLens.from_marks(focal_length, f_number, pupil_magnification)
    return lens_part(lens, "", f_number).stops[0].radius


def stop_radius_reversed(focal_length: R, f_number: R) -> R:
    """Radius of the exit pupil of a reversed lens [mm]: its entrance pupil's when mounted normally."""
    lens = ThickLens.from_marks(focal_length, f_number, 1.0).reverse()
    return lens_part(lens, "", f_number).stops[0].radius


def objective_radius(focal_length: R, numerical_aperture: R) -> R:
    """Radius of the stop of an objective [mm]."""
    return objective_stop(focal_length, numerical_aperture).radius


SOLVED_LENGTH = Found(
    "l_e", "by the straight lines in which the matrix to the sensor depends on it", "Open length", MATRICES
)
SOLVED_FOCUSING = Found(
    "e_f", "by the straight lines in which the matrix to the sensor depends on it", "Open focusing extension", MATRICES
)
OWN_FOCAL = Formula("f_i = f", "Focal length of a lens", DEFINITION)
OF_POWER = Calculated("f_i", close_up_focal_length, "P_d", "Focal length of a close-up lens by its power", DEFINITION)
OF_CONVERTER = Calculated("f_i", converter_focal_length, "k l_k", "Focal length of a thin converter", HECHT)
OF_OBJECTIVE = Calculated(
    "f_i", infinity_focal_length, "f_t M_o", "Focal length of an infinity-corrected objective", DEFINITION
)
OBJECTIVE_IMAGE = Calculated("v_o", behind_shoulder, "l_t", "Image behind a finite objective's shoulder", OBJECTIVES)
OF_FINITE_OBJECTIVE = Calculated("f_i", finite_focal_length, "l_p v_o M_o", "Focal length of a finite objective", HECHT)
FRONT = Formula("a_f = a", "First principal plane behind the front rim", DEFINITION)
REAR_BY_REGISTER = Calculated(
    "a_b", rear_gap_of_lens, "e_f R-f", "Mount flange behind the rear principal plane, by the register", HECHT
)
REAR_BY_PLANE = Calculated(
    "a_b", rear_gap_of_lens, "e_f a_r", "Mount flange behind the rear principal plane, as given", DEFINITION
)
FRONT_REVERSED_BY_REGISTER = Calculated(
    "a_f", rear_gap_of_lens, "e_f R-f", "The same plane in front, lens reversed", HECHT
)
FRONT_REVERSED_BY_PLANE = Calculated(
    "a_f", rear_gap_of_lens, "e_f a_r", "The same plane in front, as given, lens reversed", DEFINITION
)
REAR_REVERSED = Formula("a_b = a", "Front rim behind the front principal plane, lens reversed", DEFINITION)
PLANES_OF_PART = Found("a_f", "from the part's own data", "Front face to first principal plane of another part", HECHT)
REAR_OF_PART = Found("a_b", "from the part's own data", "Second principal plane to rear face of another part", HECHT)
BEHIND = Formula("a_a = a_b", "From the second principal plane to the part's rear face", DEFINITION)
TUBE = Formula("a_a = a_c + l_e", "The same with a tube behind", DEFINITION)
TUBES_IN_FRONT = Formula(
    "s_f = a_f + l_h", "First principal plane behind the front of the train, tubes before it", DEFINITION
)
IN_FRONT = Formula("s_f = a_f", "First principal plane behind the front of the train", DEFINITION)
GAP = Formula("g_i = a_a + a_f", "Gap to the next principal plane", DEFINITION)
GAP_TO_SENSOR = Formula("g_i = a_a + R_c", "Gap to the sensor", DEFINITION)
GAP_OF_NO_MATTER = Found(
    "g_i", "taken as 0: it is not known, and light crosses it parallel", "Gap of no matter", MATRICES
)
A_OF_GAP = Calculated("A", behind_gap, "A_b C_b g_i", "Matrix behind a gap, element A", MATRICES)
B_OF_GAP = Calculated("B_m", behind_gap, "B_b D_b g_i", "Matrix behind a gap, element B", MATRICES)
C_OF_PART = Calculated("C_m", behind_part, "C_b A 1/f_i", "Matrix behind a part, element C", MATRICES)
D_OF_PART = Calculated("D_m", behind_part, "D_b B_m 1/f_i", "Matrix behind a part, element D", MATRICES)
EQUIVALENT = Formula("f_e = -1 / C_m", "Focal length of the equivalent lens", MATRICES)
MAGNIFICATION = Formula("m = abs(A)", "Magnification by the matrix to the sensor", MATRICES)
SUBJECT = Calculated("s", subject_distance, "A B_m", "Subject distance by the matrix to the sensor", MATRICES)
WORKING_DISTANCE = Calculated(
    "WD", formulas.working_distance, "s s_f", "Working distance before the front of the train", DEFINITION
)
CLEARANCE = Calculated(
    "C", room_before, "WD l_c", "What stays free before the part that stands out furthest", DEFINITION
)
PLANES = Found(
    "l_s", "all gaps and all separations of principal planes, from the first lens to the sensor", "Length", DEFINITION
)
TOTAL = Formula("L = s + l_s", "Subject to sensor of the train", DEFINITION)
RIG = Formula("L_r = L - WD", "Length of the rig", DEFINITION)
STOP_OF_LENS = Calculated("r_p", stop_radius, "f N p", "Radius of the exit pupil of the governing lens", HECHT)
STOP_OF_REVERSED = Calculated("r_p", stop_radius_reversed, "f N", "The same, lens reversed", HECHT)
STOP_OF_TUBE = Calculated("r_p", radius_of, "d_cl", "Radius of the governing tube", DEFINITION)
STOP_OF_OBJECTIVE = Calculated(
    "r_p", objective_radius, "f_i NA_o", "Radius of the stop of the governing objective", HECHT
)
PLACE_OF_LENS = Calculated("g_p", exit_pupil_place, "f p", "Exit pupil behind the second principal plane", HECHT)
PLACE_OF_REVERSED = Calculated("g_p", exit_pupil_place, "f 1/p", "The same, lens reversed", HECHT)
PLACE_OF_OBJECTIVE = Formula("g_p = f_i", "Stop of an objective in its rear focal plane", HECHT)
A_OF_STOP = Calculated("A_p", behind_gap, "A_b C_b g_p", "Matrix to the governing stop, element A", MATRICES)
B_OF_STOP = Calculated("B_s", behind_gap, "B_b D_b g_p", "Matrix to the governing stop, element B", MATRICES)
HEIGHT = Calculated("y_p", height_at_stop, "A_p B_s s", "Height at the stop for a slope of 1", MATRICES)
APERTURE = Formula("NA = r_p / abs(y_p)", "Numerical aperture by the governing stop", MATRICES)
EFFECTIVE = Calculated(
    "N_eff", formulas.effective_by_numerical_aperture, "m NA", "Effective f-number by the numerical aperture", HECHT
)
PUPIL = Formula("z = y_p / A_p", "Subject to the entrance pupil, the image of the stop", MATRICES)
OPTIMUM = Calculated("N_opt", optimum_effective_f_number, "T m lam", "Effective f-number of least blur", HANSMA)
OPTIMUM_MARK = Calculated(
    "N_om", formulas.mark_in_proportion, "N_opt N N_eff", "Its mark: both are in proportion", ALGEBRA
)
STACK_STEP = Calculated("d_st", allowed_step, "t o", "Step of a stack on a rail", PRACTICE)
STACK_FRAMES = Calculated("n_st", frames_over, "T-t d_st", "Frames of a stack on a rail", PRACTICE)
MOVEMENT = Calculated("b_m", movement_drawing, "c m", "Movement of the subject that draws the blur criterion", ALGEBRA)

OF_THE_WHOLE = ("magnification", "numerical_aperture", "working_distance_mm")
"""Members of an objective that are also results of the train."""


def set_up_steps(document: requests.FrameSetUp, answer: answers.SetUpAnswer) -> list[Step]:
    """Steps of a set-up whose lengths are all known."""
    board = Board({"camera_register_mm": document["camera"]["register_mm"]}, document["camera"], document)
    board.put(j_1=FIRST_ZERO, o=OVERLAP)
    set_up = evaluate(document)
    parts = build_parts(document, POINT, {})
    register, first = document["camera"]["register_mm"], first_powered_part(parts)
    if "solved" in answer:
        focusing = answer["solved"]["pointer"].endswith("focusing_extension_mm")
        board.write(SOLVED_FOCUSING if focusing else SOLVED_LENGTH, answer["solved"]["value"])
    chained = chain_matrices(parts, first, register, POINT)
    matrix_steps(board, document, parts, first, chained)
    sensor_steps(board, matrix_to_sensor(parts, chained.matrices[-1], register), set_up)
    frame_steps(board, answer["subject_width_mm"], answer["subject_height_mm"])
    distance_steps(board, document, parts, first, set_up)
    if set_up.aperture_stop is not None:
        stop_steps(board, document, parts, first, chained, set_up)
        if answer["light_loss_stops"] is not None:
            governing = cast("requests.Lens", document["train"][int(set_up.aperture_stop)])
            board.put(N=governing["f_number"])
        board.write(LIGHT_LOSS, answer["light_loss_stops"])
        sharpness_steps(board, document, answer, set_up)
    return board.steps


def matrix_steps(
    board: Board, document: requests.FrameSetUp, parts: Sequence[Part], first: int, chained: Chain
) -> None:
    """Matrix behind every part that bends light, gaps and tubes between them."""
    board.put(A=1.0, B_m=0.0, C_b=0.0, D_b=1.0)
    for index in range(first, len(parts)):
        element, part, matrix = document["train"][index], parts[index], chained.matrices[index - first]
        if not part.powered:
            if part.rear_gap is not None and "a_a" in board.values:
                board.work(TUBE, a_c=board.values["a_a"], l_e=part.rear_gap)
            continue
        part_steps(board, element, part)
        if index > first:
            gap_steps(board, matrix, index == chained.loose or parts[index].front_gap is None)
        elif part.front_gap is not None:
            front_steps(board, parts, first)
        board.write(C_OF_PART, matrix.c)
        board.write(D_OF_PART, matrix.d)
        board.put(A_b=matrix.a, B_b=matrix.b, C_b=matrix.c, D_b=matrix.d)
        board.values.pop("a_a", None)
        if part.rear_gap is not None:
            board.work(BEHIND)


def front_steps(board: Board, parts: Sequence[Part], first: int) -> None:
    """First principal plane behind the front of the train."""
    board.write(
        TUBES_IN_FRONT if first else IN_FRONT, front_to_plane_distance(parts, first), l_h=length_of(parts[:first])
    )


def length_of(tubes: Sequence[Part]) -> float:
    """Length of tubes, mm."""
    return float(sum(tube.rear_gap or 0.0 for tube in tubes))


def gap_steps(board: Board, matrix: Matrix, loose: bool) -> None:
    """Matrix behind the gap before a part."""
    if loose:
        board.write(GAP_OF_NO_MATTER, gap_taken(board))
    else:
        board.work(GAP)
    board.write(A_OF_GAP, matrix.a)
    board.write(B_OF_GAP, matrix.b)


def gap_taken(board: Board) -> float:
    """Length that stands for a gap of which a part is not known."""
    return board.values.get("a_a", 0.0) + board.values.get("a_f", 0.0)


def part_steps(board: Board, element: requests.Element, part: Part) -> None:
    """Focal length and planes of one part that bends light."""
    board.values.pop("a_f", None)
    board.values.pop("a_b", None)
    f = 1 / part.power
    give_part(board, element)
    if element["element"] == "lens":
        board.write(OWN_FOCAL, f)
        lens_planes(board, element, part)
        return
    focal_steps(board, element, f)
    board.write(PLANES_OF_PART, part.front_gap)
    board.write(REAR_OF_PART, part.rear_gap)


def give_part(board: Board, element: Mapping[str, object]) -> None:
    """Put a part's own data on the board, but for what its maker calls as the whole train's."""
    own = {name: value for name, value in element.items() if name not in OF_THE_WHOLE}
    board.give({"focusing_extension_mm": 0.0, "pupil_magnification": 1.0, **own})


def focal_steps(board: Board, element: requests.Element, f: float) -> None:
    """Focal length of a close-up lens, a converter or an objective."""
    if "focal_length_mm" in element:
        board.write(OWN_FOCAL, f)
    elif element["element"] == "close-up-lens":
        board.write(OF_POWER, f)
    elif element["element"] == "teleconverter":
        board.write(OF_CONVERTER, f)
    elif element["element"] == "objective":
        objective_steps(board, element, f)


def objective_steps(board: Board, element: requests.Objective, f: float) -> None:
    """Focal length of an objective, by its tube lens or by its parfocal distance."""
    if "tube_lens_focal_length_mm" in element:
        board.write(OF_OBJECTIVE, f, M_o=element["magnification"])
    else:
        board.put(l_p=element.get("parfocal_distance_mm", PARFOCAL_MM), M_o=element["magnification"])
        board.work(OBJECTIVE_IMAGE)
        board.write(OF_FINITE_OBJECTIVE, f)


def lens_planes(board: Board, element: requests.Lens, part: Part) -> None:
    """Planes of a lens as it stands."""
    by_register = "register_mm" in element
    if by_register:
        board.put(R=element["register_mm"])
    if element.get("reversed"):
        board.write(FRONT_REVERSED_BY_REGISTER if by_register else FRONT_REVERSED_BY_PLANE, part.front_gap)
        board.write(REAR_REVERSED, part.rear_gap)
    else:
        board.write(FRONT, part.front_gap)
        board.write(REAR_BY_REGISTER if by_register else REAR_BY_PLANE, part.rear_gap)


def sensor_steps(board: Board, sensor: Matrix, set_up: SetUp) -> None:
    """Matrix to the sensor, the equivalent lens, magnification and subject."""
    board.write(EQUIVALENT, None if board.values["C_b"] == 0 else -1 / board.values["C_b"], C_m=board.values["C_b"])
    board.work(GAP_TO_SENSOR)
    board.write(A_OF_GAP, sensor.a)
    board.write(B_OF_GAP, sensor.b)
    board.write(MAGNIFICATION, set_up.magnification)
    board.write(SUBJECT, sensor.subject_distance)


def distance_steps(
    board: Board, document: requests.FrameSetUp, parts: Sequence[Part], first: int, set_up: SetUp
) -> None:
    """Working distance, clearance and lengths."""
    if "s_f" in board.values:
        board.write(WORKING_DISTANCE, set_up.working_distance_mm)
    if set_up.clearance_mm is not None:
        board.write(CLEARANCE, set_up.clearance_mm, l_c=protrusion_of(document["train"], parts, POINT))
    if set_up.subject_to_sensor_mm is not None:
        board.write(PLANES, planes_to_sensor_distance(parts, first, document["camera"]["register_mm"]))
        board.write(TOTAL, set_up.subject_to_sensor_mm)
        if set_up.working_distance_mm is not None:
            board.write(RIG, set_up.rig_length_mm)


def stop_steps(
    board: Board, document: requests.FrameSetUp, parts: Sequence[Part], first: int, chained: Chain, set_up: SetUp
) -> None:
    """The stop that governs, its image, and the light it lets through."""
    s, index = board.values["s"], int(set_up.aperture_stop)  # type: ignore[arg-type]
    own = [each for each in visible_stops(parts, first, chained.matrices) if each[0] == index]
    _, to_stop, radius = max(own, key=lambda each: abs(each[1].height(s)) / each[2])
    radius_step(board, document["train"][index], parts[index], radius)
    behind = chained.matrices[index - first] if index >= first else Matrix(1.0, 0.0, 0.0, 1.0)
    if "g_p" not in board.values:
        offsets = [stop.offset for stop in parts[index].stops if behind.cross_gap(stop.offset) == to_stop]
        board.put(g_p=offsets[0] if offsets else to_stop.b)
    board.put(A_b=behind.a, B_b=behind.b, C_b=behind.c, D_b=behind.d)
    board.write(A_OF_STOP, to_stop.a)
    board.write(B_OF_STOP, to_stop.b)
    board.write(HEIGHT, to_stop.height(s))
    board.write(APERTURE, set_up.numerical_aperture)
    board.write(EFFECTIVE, set_up.effective_f_number)
    board.write(PUPIL, finite_pupil_distance(set_up.inverse_pupil_distance))


def radius_step(board: Board, element: requests.Element, part: Part, radius: float) -> None:
    """Radius and place of the stop of a part."""
    board.values.pop("g_p", None)
    give_part(board, element)
    if element["element"] == "spacer":
        board.write(STOP_OF_TUBE, radius)
        return
    board.put(f_i=1 / part.power)
    if element["element"] == "objective":
        board.write(STOP_OF_OBJECTIVE, radius, NA_o=element["numerical_aperture"])
        board.write(PLACE_OF_OBJECTIVE, part.stops[0].offset)
        return
    turned = bool(element.get("reversed"))
    board.write(STOP_OF_REVERSED if turned else STOP_OF_LENS, radius)
    board.write(PLACE_OF_REVERSED if turned else PLACE_OF_LENS, part.stops[0].offset)


def sharpness_steps(board: Board, document: requests.FrameSetUp, answer: answers.SetUpAnswer, set_up: SetUp) -> None:
    """Depth, diffraction, the best aperture, a stack, and the movement allowed."""
    criterion = set_up.criterion
    board.put(lam=criterion.wavelength_nm)
    if criterion.blur_mm is not None:
        blur_steps(board, {**document, **document["camera"]}, criterion.blur_mm)
        board.put(c=criterion.blur_mm)
    depth_steps(board, answer["depth_of_field"], criterion.model, "z" in board.values)
    diffraction_of(board, answer["diffraction"], document.get("light") == "white")
    board.write(OPTIMUM, answer["optimum_effective_f_number"])
    if answer["optimum_f_number"] is not None:
        board.write(OPTIMUM_MARK, answer["optimum_f_number"])
    board.write(STACK_STEP, answer["stack_step_mm"])
    if answer["stack_step_mm"] is not None:
        board.write(STACK_FRAMES, answer["stack_frames"])
    board.write(MOVEMENT, answer["allowed_movement_um"])
