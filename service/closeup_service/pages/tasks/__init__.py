"""Every task page, in the order of the start page."""

from closeup_service.pages.task import Task
from closeup_service.pages.tasks import (
    another_sensor,
    clear_opening,
    fill_the_frame,
    find_set_up,
    focus_stack,
    light,
    movement,
    ruler,
    scale_bar,
    set_up,
    sharpness,
)

TASKS: tuple[Task, ...] = (
    fill_the_frame.TASK,
    find_set_up.TASK,
    set_up.TASK,
    sharpness.TASK,
    another_sensor.TASK,
    light.TASK,
    clear_opening.TASK,
    focus_stack.TASK,
    movement.TASK,
    ruler.TASK,
    scale_bar.TASK,
)
