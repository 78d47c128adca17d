"""Every task page, in the order of the start page."""

from closeup_service.pages.task import Task
from closeup_service.pages.tasks import (
    another_sensor,
    calibrate_lens,
    clear_opening,
    fill_the_frame,
    find_set_up,
    focus_stack,
    light,
    movement,
    my_lens,
    rings,
    ruler,
    scale_bar,
    set_up,
    sharpness,
)

TASKS: tuple[Task, ...] = (
    fill_the_frame.TASK,
    find_set_up.TASK,
    rings.TASK,
    set_up.TASK,
    sharpness.TASK,
    another_sensor.TASK,
    light.TASK,
    clear_opening.TASK,
    focus_stack.TASK,
    movement.TASK,
    my_lens.TASK,
    ruler.TASK,
    calibrate_lens.TASK,
    scale_bar.TASK,
)
