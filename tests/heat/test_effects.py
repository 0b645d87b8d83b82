"""What would change the setting."""

from rushlight.candle.profile import straight
from rushlight.heat.effects import effects
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.setting import Setting
from rushlight.heat.waxes import SOY
from rushlight.quantity.si import Metre

JAR = Setting(
    profile=straight(depth=Metre(0.09), diameter=Metre(0.075)),
    fill=0.078,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    pour=ZERO + 72,
    vessel=ZERO + 21,
)


def test_each_change_works_the_way_the_trade_knows() -> None:
    """Close jars and warm vessels set slower; cold and draught faster, with more sinkholes."""
    found = {effect.change: effect for effect in effects(JAR)}
    calm = found["as it is"]
    assert len(found) == 10
    for slower in ("vessel preheated", "hotter pour", "jars close together"):
        assert found[slower].figures.whole > calm.figures.whole, slower
    for faster in ("cooler pour", "cooler room", "in a draught", "in the refrigerator"):
        assert found[faster].figures.whole < calm.figures.whole, faster
    for worse in ("in a draught", "in the refrigerator", "hotter pour"):
        assert found[worse].sinkhole > calm.sinkhole, worse
    assert found["jars well apart"].figures.whole < found["jars close together"].figures.whole
