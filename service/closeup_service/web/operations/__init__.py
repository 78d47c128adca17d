"""Every operation of the service, in the order of the documentation."""

from closeup_service.web.operation import Operation
from closeup_service.web.operations import (
    catalogue,
    cautions,
    clear_opening,
    depth_of_field,
    diffraction,
    effective_f_number,
    exposure,
    flash,
    focus_stack,
    magnification,
    motion_blur,
    optimum_aperture,
    set_up,
    working_distance,
)

OPERATIONS: tuple[Operation, ...] = (
    magnification.OPERATION,
    working_distance.OPERATION,
    effective_f_number.OPERATION,
    depth_of_field.OPERATION,
    diffraction.OPERATION,
    optimum_aperture.OPERATION,
    exposure.OPERATION,
    flash.OPERATION,
    clear_opening.OPERATION,
    motion_blur.OPERATION,
    focus_stack.OPERATION,
    set_up.OPERATION,
    *catalogue.OPERATIONS,
    cautions.OPERATION,
)
