"""Failures and blocks of an invented vehicle."""

from bomtui.tui.view import DiagramView, Explanation, Failure, FailuresView


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


def explain(name: str) -> Explanation:
    """How a figure came about, longer than a screen."""
    steps = []
    for number in range(12):
        steps += [
            f"step {number} of {name}: current = rated power / test voltage x factor = 55 W / 28 V x 1.08 = 2.12 A",
            "  rated power 55 W from load L24",
            "  test voltage 28 V from the settings",
        ]
    return Explanation(f"{name} = 3.93 A", tuple(steps))
