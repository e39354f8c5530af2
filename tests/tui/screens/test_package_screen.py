"""How a package is written: wishes by keys, then the folder."""

from bomtui.tui.screens.package.rows import WRITE, next_value, wish_lines
from bomtui.tui.view import PackageWishes
from tests.tui.driving import SMALL, app_with, check_seen
from tests.tui.fake import fake_workplace


def test_every_wish_comes_round_again() -> None:
    """Taking the next value of a wish as often as it has values leads back, through others."""
    for key in ("formats", "decimal_comma", "currency", "paper", "forced"):
        seen, wishes = [PackageWishes()], next_value(PackageWishes(), key)
        while wishes != seen[0]:
            assert wishes not in seen
            seen.append(wishes)
            wishes = next_value(wishes, key)
        assert len(seen) > 1
    assert wish_lines(PackageWishes())[0][0] == WRITE


async def test_wishes_are_taken_by_keys() -> None:
    """Enter on a line changes what it says; the package is written as was wished, into the folder that is typed."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("W")
        await check_seen(pilot, "Package of the quotation")
        await check_seen(pilot, "0.5 and commas between the cells of CSV")
        await pilot.press("down", "down", "enter")
        await check_seen(pilot, "0,5 and semicolons between the cells of CSV")
        await pilot.press("home", "enter")
        await check_seen(pilot, "Folder of the package: sweeper-zone-package")
        await pilot.press("enter")
        await check_seen(pilot, "decimal_comma=True")


async def test_nothing_is_written_where_one_goes_back() -> None:
    """Escape leaves the wishes, and the sheet stands as before."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("W")
        await check_seen(pilot, "Package of the quotation")
        await pilot.press("escape")
        await check_seen(pilot, "Whole vehicle")
