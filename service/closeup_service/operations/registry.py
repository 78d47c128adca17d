"""Every operation of the service, in the order of the documentation."""

from closeup_service.operations.chart.aperture_chart import operation as aperture_chart
from closeup_service.operations.chart.calibration_chart import operation as calibration_chart
from closeup_service.operations.chart.magnification_chart import operation as magnification_chart
from closeup_service.operations.chart.stack_chart import operation as stack_chart
from closeup_service.operations.light.clear_opening import operation as clear_opening
from closeup_service.operations.light.exposure import operation as exposure
from closeup_service.operations.light.flash import operation as flash
from closeup_service.operations.measure.lens_calibration import operation as lens_calibration
from closeup_service.operations.measure.scale_bar import operation as scale_bar
from closeup_service.operations.measure.scale_comparison import operation as scale_comparison
from closeup_service.operations.measure.scale_photo import operation as scale_photo
from closeup_service.operations.measure.scale_reading import operation as scale_reading
from closeup_service.operations.operation import Operation
from closeup_service.operations.plan.magnification import operation as magnification
from closeup_service.operations.plan.ring_chains import operation as ring_chains
from closeup_service.operations.plan.search import operation as search
from closeup_service.operations.refer.catalogue import operation as catalogue
from closeup_service.operations.refer.cautions import operation as cautions
from closeup_service.operations.refer.kit import operation as kit
from closeup_service.operations.set_up.depth_of_field import operation as depth_of_field
from closeup_service.operations.set_up.diffraction import operation as diffraction
from closeup_service.operations.set_up.drawing import operation as set_up_drawing
from closeup_service.operations.set_up.effective_f_number import operation as effective_f_number
from closeup_service.operations.set_up.evaluate import operation as set_up
from closeup_service.operations.set_up.format_equivalence import operation as format_equivalence
from closeup_service.operations.set_up.frame_drawing import operation as frame_drawing
from closeup_service.operations.set_up.optimum_aperture import operation as optimum_aperture
from closeup_service.operations.set_up.sheet import operation as sheet
from closeup_service.operations.set_up.table import operation as table
from closeup_service.operations.set_up.working_distance import operation as working_distance
from closeup_service.operations.shoot.focus_stack import operation as focus_stack
from closeup_service.operations.shoot.motion_blur import operation as motion_blur

OPERATIONS: tuple[Operation, ...] = (
    magnification.OPERATION,
    working_distance.OPERATION,
    effective_f_number.OPERATION,
    depth_of_field.OPERATION,
    diffraction.OPERATION,
    optimum_aperture.OPERATION,
    format_equivalence.OPERATION,
    exposure.OPERATION,
    flash.OPERATION,
    clear_opening.OPERATION,
    motion_blur.OPERATION,
    focus_stack.OPERATION,
    scale_reading.OPERATION,
    scale_photo.OPERATION,
    scale_comparison.OPERATION,
    scale_bar.OPERATION,
    lens_calibration.OPERATION,
    ring_chains.OPERATION,
    set_up.OPERATION,
    set_up_drawing.OPERATION,
    frame_drawing.OPERATION,
    sheet.OPERATION,
    search.OPERATION,
    table.OPERATION,
    aperture_chart.OPERATION,
    magnification_chart.OPERATION,
    stack_chart.OPERATION,
    calibration_chart.OPERATION,
    *catalogue.OPERATIONS,
    cautions.OPERATION,
    kit.OPERATION,
)
