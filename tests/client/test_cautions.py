"""Cautions through the client: the whole list, and those of an answer."""

from closeup_client import CautionRecord, Client


def test_the_whole_list_comes_as_records_people_first(client: Client) -> None:
    records = client.cautions()
    assert {type(record) for record in records} == {CautionRecord}
    whom = [record.concerns for record in records]
    assert whom == sorted(whom, key=("people", "animals", "gear").index)
    assert all(record.applies_to and record.text for record in records)


def test_what_surrounds_the_picture_brings_cautions_that_the_list_explains(client: Client) -> None:
    answer = client.motion_blur(
        magnification=2, sideways_speed_mm_s=1, flash_t01_s=0.001, subject_kind="living", mains_powered=True
    )
    listed = {record.code: record.text for record in client.cautions()}
    assert {caution.code for caution in answer.cautions} >= {"flash-near-eyes", "live-subject", "mains-near-water"}
    assert {caution.code: caution.text for caution in answer.cautions}.items() <= listed.items()
