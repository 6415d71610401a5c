"""Taking an array down: the current off first, the array off next, the battery last."""

from collections.abc import Iterable

from calc.make.look import Look
from calc.make.order_words import live, switch
from calc.model.assessment import Remark
from calc.model.parts import Task


def taking_down(look: Look) -> Iterable[Task]:
    """The steps that take a design out of service, each made for what it has."""
    where = switch(look)
    yield Task(
        "down-open",
        (Remark(f"open-{where}"), Remark("lock-tag")),
        live(look, f"up-to-{where}"),
        (Remark("never-connector"),),
    )
    yield Task(
        "down-clamp", (Remark("clamp-zero"),), live(look, f"up-to-{where}"), (Remark("current-flows"),)
    )
    yield Task("down-cover", (Remark("cover-all"), Remark("measure-covered")), live(look, "covered"))
    if look.fuse_fitted:
        yield Task("down-fuses", (Remark("take-fuses"),), live(look, "covered"))
    apart = "unland-circuits" if look.combined else "unplug-couplers" if look.stages else "unplug-ends"
    yield Task("down-apart", (Remark(apart), Remark("tape-ends")), live(look, "covered"))
    yield Task("down-run", (Remark("run-off"),), live(look, "battery-side", nominal="battery.nominal"))
    yield Task(
        "down-battery",
        (Remark("open-battery"), Remark("cables-off")),
        live(look, "battery-side", nominal="battery.nominal"),
        (Remark("battery-last"),),
    )
    yield Task("down-ground", (Remark("ground-last"),), Remark("modules-only"))
