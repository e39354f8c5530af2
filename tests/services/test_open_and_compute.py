"""Opening, computing, reviewing: the chain that every screen and command goes through."""

from pathlib import Path

import pytest

from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.files import FileExistsAlreadyError, write_output
from bomtui.services.open import open_proposal
from bomtui.services.parts_list import default_name, format_of, write_parts_list
from bomtui.services.review import checked_text, reaches, review
from bomtui.services.rollup import compute, variant_ids
from bomtui.services.samples import samples

SWEEPER = Path(__file__).parents[2] / "sample_projects" / "street_sweeper"


def test_a_folder_and_its_file_open_alike() -> None:
    """A folder with one proposal opens as that file does, and the content hash depends on the content only."""
    by_folder, by_file = open_proposal(SWEEPER), open_proposal(SWEEPER / "street_sweeper.toml")
    assert by_folder.path == by_file.path == SWEEPER / "street_sweeper.toml"
    assert by_folder.content_hash == by_file.content_hash
    assert by_folder.problems == ()
    assert by_folder.snapshot == by_file.snapshot


def test_the_content_hash_sees_parts_and_proposal(tmp_path: Path) -> None:
    """Another price and another load each give another hash; comments and the folder do not."""
    proposal, parts = (SWEEPER / f"street_sweeper.{end}" for end in ("toml", "parts.toml"))

    def hash_of(name: str, proposal_text: str, parts_text: str) -> str:
        folder = tmp_path / name
        folder.mkdir()
        (folder / "v.toml").write_text(proposal_text, encoding="utf-8")
        (folder / "v.parts.toml").write_text(parts_text, encoding="utf-8")
        return open_proposal(folder).content_hash

    first, second = proposal.read_text(encoding="utf-8"), parts.read_text(encoding="utf-8")
    plain = open_proposal(SWEEPER).content_hash
    assert hash_of("same", f"# mine\n{first}", second) == plain
    assert hash_of("price", first, second.replace("1.2800", "1.2900")) != plain
    assert hash_of("load", first.replace('revision = "A"', 'revision = "B"'), second) != plain


def test_unreadable_files_raise_one_sentence(tmp_path: Path) -> None:
    """What cannot be opened raises an error whose text is the sentence."""
    with pytest.raises(BomtuiError, match="there is no such file or folder") as caught:
        open_proposal(tmp_path / "none.toml")
    assert caught.value.problems == ()


def test_variants_are_chosen_and_refused_by_name(tmp_path: Path) -> None:
    """The default variant comes first; an unknown one names those there are; none at all is said."""
    opened = open_proposal(SWEEPER)
    assert variant_ids(opened.snapshot.proposal) == ("zone", "distributed")
    assert compute(opened).variant == "zone"
    with pytest.raises(UnknownNameError, match="the variants are zone, distributed"):
        compute(opened, "central")
    (tmp_path / "v.toml").write_text('format = 1\n[proposal]\nname = "x"\n[vehicle]\nsupply = "12 V"\n')
    with pytest.raises(BomtuiError, match="has no variant"):
        compute(open_proposal(tmp_path))


def test_a_second_rollup_of_the_same_reuses_its_modules() -> None:
    """Computing again with the former result gives the very same module results."""
    opened = open_proposal(SWEEPER)
    first = compute(opened, "zone")
    second = compute(opened, "zone", first)
    assert second.rollup == first.rollup
    assert all(second.rollup.modules[key] is first.rollup.modules[key] for key in first.rollup.modules)


def test_review_belongs_to_its_rollup() -> None:
    """A review carries the rollup it judged, and its sentence counts what the rules counted."""
    reviewed = review(compute(open_proposal(SWEEPER), "distributed"))
    places = sum(count.places for count in reviewed.review.counts)
    assert reviewed.computed.variant == reviewed.review.variant == "distributed"
    assert f"checked {places} places" in checked_text(reviewed.review)
    assert reaches(reviewed.review, "error")


def test_parts_lists_are_written_once_and_named_after_their_data(tmp_path: Path) -> None:
    """A list of invented parts suggests a name that says so; a file that is there is replaced only when asked."""
    reviewed = review(compute(open_proposal(SWEEPER), "zone"))
    path = tmp_path / default_name(reviewed.computed)
    assert path.name == "street_sweeper_zone_parts-list_DEMO-DATA.csv"
    write_parts_list(reviewed, path, overwrite=False)
    written = path.read_bytes()
    path.write_bytes(b"mine")
    with pytest.raises(FileExistsAlreadyError, match="there is such a file already"):
        write_parts_list(reviewed, path, overwrite=False)
    assert path.read_bytes() == b"mine"
    write_parts_list(reviewed, path)
    assert path.read_bytes() == written
    assert [entry.name for entry in tmp_path.iterdir()] == [path.name]


def test_a_device_is_never_replaced_by_a_file() -> None:
    """Writing onto a device is refused: a rename would replace it."""
    with pytest.raises(BomtuiError, match="ends in"):
        format_of(Path("/dev/null"))
    with pytest.raises(BomtuiError, match="found a device or pipe"):
        write_output(Path("/dev/null"), b"x")
    assert not Path("/dev/null").is_file()


def test_samples_are_listed_with_what_tells_them_apart() -> None:
    """All samples are offered with title, supply and number of loads, and say that they are invented."""
    found = {sample.name: sample for sample in samples()}
    assert set(found) == {"street_sweeper", "parcel_van", "subject_bench"}
    assert found["street_sweeper"].note == "invented, 24 V, 108 loads, 2 variants"
    assert found["subject_bench"].note == "invented, 12 V, 87 loads, 1 variant"
    assert open_proposal(found["parcel_van"].path).snapshot.proposal.proposal.name == found["parcel_van"].title
