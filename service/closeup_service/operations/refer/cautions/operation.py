"""`/v1/cautions`."""

from collections.abc import Mapping

from closeup_service.advice.cautions import all_cautions
from closeup_service.operations.operation import Operation
from closeup_service.operations.refer.cautions.schemas import CautionsAnswer


def answer(asked: Mapping[str, object]) -> dict[str, object]:
    """Every caution, whatever is asked elsewhere."""
    del asked
    return {"records": all_cautions()}


OPERATION = Operation(
    operation_id="listCautions",
    path="/v1/cautions",
    tag="refer",
    summary="The usual cautions of close-up work, people first",
    description=(
        "Answers carry those that apply to what was asked; this is the whole list, in general words. They promise nothing: "
        "makers' instructions, local rules and qualified people come first."
    ),
    answer=answer,
    answer_type=CautionsAnswer,
    by_query="none",
)
