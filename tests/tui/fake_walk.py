"""Failures and blocks of an invented vehicle."""

from bomtui.tui.view import DiagramView, Failure, FailuresView


def failures() -> FailuresView:
    """What is lost with three things."""
    return FailuresView(
        (
            Failure(
                "u8",
                "controller ZREA.U1 (mcu-144)",
                "ZREA.U1",
                3,
                1,
                0,
                "ASIL B",
                (("outputs lost (3)", "L11 L12 L24"),),
            ),
            Failure("m", "module ZENG", "ZENG", 1, 0, 0, "QM", (("outputs lost (1)", "C03"),)),
            Failure("f", "feed F1", "", 0, 0, 0, "", (("", "nothing that is known is lost"),)),
        ),
        ("L11, stand-in L12: controller ZREA.U1",),
        "Electrically possible; type approval not checked.",
        ("no feed is named of ZENG",),
    )


def diagram(module: str, width: int, is_plain: bool) -> DiagramView:
    """One block of a module, or of the vehicle."""
    corner = "`-" if is_plain else "└─"
    lines = ((f"battery of {module or 'the vehicle'}", True), (f" {corner}[U1 hs24-4x50] {width} columns", False))
    return DiagramView(f"Block diagram of {module or 'the vehicle'}", lines, "Currents in WORK_NIGHT.")
