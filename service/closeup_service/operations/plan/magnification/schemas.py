"""`/v1/magnification`: what magnification, by the one route whose data are given."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, validates_schema

from closeup_service.language import tr
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import exactly_one, open_result, quantity, result
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, EstimatedLensFields
from closeup_service.schemas.lens_mounting import MountingField
from closeup_service.schemas.sensor import SensorFields, states_sensor

if TYPE_CHECKING:
    from closeup_service.records import requests

ROUTES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "subject_width_mm": {"normal": (), "reversed": ()},
    "subject_height_mm": {"normal": (), "reversed": ()},
    "extension_mm": {
        "normal": ("focal_length_mm",),
        "reversed": ("focal_length_mm", "camera_register_mm", "front_principal_plane_mm"),
    },
    "working_distance_mm": {
        "normal": ("focal_length_mm", "front_principal_plane_mm"),
        "reversed": ("focal_length_mm", "lens_register_mm"),
    },
}
"""Each route to a magnification, and the lens fields that it needs by mounting."""


class MagnificationRequest(SensorFields, MountingField, EstimatedLensFields):
    """Exactly one of the four routes, with what that route needs."""

    subject_width_mm = quantity("subject_width_mm")
    subject_height_mm = quantity("subject_height_mm")
    extension_mm = quantity("extension_mm")
    working_distance_mm = quantity("working_distance_mm")
    focal_length_mm = quantity("focal_length_mm")
    focusing_extension_mm = quantity("focusing_extension_mm")
    lens_register_mm = quantity("lens_register_mm")
    camera_register_mm = quantity("camera_register_mm")
    front_principal_plane_mm = quantity("front_principal_plane_mm")

    def needs_register(self, members: Mapping[str, object]) -> bool:
        """The working distance of a reversed lens begins at its mount."""
        return "working_distance_mm" in members

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_exactly_one_route(
        self, data: requests.MountingField, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse none or several routes, and a route without its data."""
        del kwargs
        route = exactly_one(original, *ROUTES)
        mounting = data.get("mounting", "normal")
        missing = {
            name: [
                tr(
                    "Needed to find the magnification by {route}, with the lens mounted {mounting}.",
                    route=route,
                    mounting=mounting,
                )
            ]
            for name in ROUTES[route].get(mounting, ())
            if name not in original
        }
        if route.startswith("subject") and not states_sensor(original):
            missing["sensor"] = [
                tr("Give the sensor, or its width and height, to find the magnification by {route}.", route=route)
            ]
        if mounting == "normal" and ("lens_register_mm" in original) != ("camera_register_mm" in original):
            absent = "camera_register_mm" if "lens_register_mm" in original else "lens_register_mm"
            missing[absent] = [tr("Give both registers, or neither: their difference counts as extension.")]
        if missing:
            raise ValidationError(missing)


class MagnificationAnswer(AnswerSchema):
    """The magnification and what goes with it."""

    magnification = open_result("magnification", ESTIMATE_UNKNOWN)
    extension_mm = result("extension_mm", meaning="Extension that gives this magnification.")
    subject_width_mm = result("subject_width_mm")
    subject_height_mm = result("subject_height_mm")
