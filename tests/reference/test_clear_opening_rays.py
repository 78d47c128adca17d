"""The clear opening against exact rays through published lenses: where the outermost rays of a picture really run."""

import pytest
from flask.testing import FlaskClient

from asking import answered
from prescriptions import DOUBLE_GAUSS, RETROFOCUS, Prescription
from real_rays import NEAR_AXIS, Iris, Ray, System, root_near, system_of

F_NUMBER, FIELD = 200.0, 0.1
"""Stopped down so far, and with so small a field [mm], that aberration hardly shows."""

PATH = "/v1/clear-opening"


def ray_through(lens: System, iris: Iris, subject: float, height: float, at_iris: float) -> Ray:
    """Ray from a subject point that passes the iris at a height."""
    front = lens.before(iris)

    def short(sine: float) -> float:
        return front.through(Ray.from_point(subject, height, sine)).height_at(iris.z) - at_iris

    return Ray.from_point(subject, height, root_near(short, NEAR_AXIS, -NEAR_AXIS))


def widest(lens: System, iris: Iris, subject: float, heights: list[float], plane: float) -> float:
    """Twice the greatest height in a plane before the lens, over rays from these points through both rims of the iris."""
    rays = [ray_through(lens, iris, subject, y, rim * iris.radius) for y in heights for rim in (-1, 1)]
    return 2 * max(abs(ray.height_at(plane)) for ray in rays)


def stopped_down_to(lens: System, f_number: float) -> System:
    """Lens whose iris is closed to an f-number: focal length over the diameter of the entrance pupil."""
    return lens.stopped_down(lens.focal_length() / f_number / 2 / lens.pupil_per_iris())


@pytest.mark.parametrize("prescription", [RETROFOCUS, DOUBLE_GAUSS], ids=lambda lens: lens.name)
@pytest.mark.parametrize(
    ("mounting", "m"), [("normal", 0.2), ("normal", 1.0), ("reversed", 0.5), ("reversed", 1.0), ("reversed", 3.0)]
)
def test_the_outermost_rays_need_the_openings_foretold(
    api: FlaskClient, prescription: Prescription, mounting: str, m: float
) -> None:
    """Of the lens the service is told what its maker would: f, f-number, pupils, front plane or register."""
    normal = stopped_down_to(system_of(prescription), F_NUMBER)
    lens = normal.turned() if mounting == "reversed" else normal
    f = normal.focal_length()
    sensor = lens.rear_focus() + m * f
    subject = lens.subject_of(sensor)
    distances = [share * (lens.first - subject) for share in (0.0, 0.3, 0.7)]
    asked = {
        "mounting": mounting,
        "focal_length_mm": f,
        "magnification": m,
        "f_number": F_NUMBER,
        "pupil_magnification": normal.pupil_magnification(),
        "front_principal_plane_mm": f - normal.turned().rear_focus() + normal.turned().last,
        "lens_register_mm": normal.rear_focus() - normal.last,
        "subject_diagonal_mm": FIELD,
        "distances_mm": distances,
    }
    rows = answered(api, PATH, asked)["openings"]
    turned_iris = lens.irises[0]
    for row, distance in zip(rows, distances, strict=True):
        plane = lens.first - distance
        full = widest(lens, turned_iris, subject, [-FIELD / 2, FIELD / 2], plane)
        axial = widest(lens, turned_iris, subject, [0.0], plane)
        assert row["distance_from_subject_mm"] == pytest.approx(plane - subject, rel=1e-6)
        assert row["full_diameter_mm"] == pytest.approx(full, rel=2e-5)
        assert row["axial_diameter_mm"] == pytest.approx(axial, rel=2e-5)
