"""Every task page, in the order of the start page."""

from closeup_service.pages.task import Task
from closeup_service.pages.tasks import fill_the_frame, find_set_up, light, ruler, set_up, sharpness

TASKS: tuple[Task, ...] = (
    fill_the_frame.TASK,
    set_up.TASK,
    sharpness.TASK,
    light.TASK,
    ruler.TASK,
    find_set_up.TASK,
)
