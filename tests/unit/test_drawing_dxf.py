"""The DXF: it opens, audits clean, and says the same as the SVG."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import _drawing_sample as sample

from secondroof.drawings import styles
from secondroof.drawings.bars import worst_on_each_line
from secondroof.drawings.dxf import DrawingError, to_dxf
from secondroof.drawings.plan import roof_plan
from secondroof.drawings.scene import Dimension, Group, Polygon, Scene, Text
from secondroof.drawings.section import section


def drawn() -> dict[str, Scene]:
    barn, hall = sample.barn(), sample.hall()
    return {
        "barn plan": roof_plan(*barn),
        "hall plan": roof_plan(*hall),
        "barn section": section(*barn, barn[1].recovers[0], "E3"),
        "hall section": section(*hall, hall[1].recovers[0], "S7"),
    }


SCENES = drawn()


@pytest.fixture(scope="module", params=SCENES)
def opened(request):
    import ezdxf

    scene = SCENES[request.param]
    return scene, ezdxf.read(io.StringIO(to_dxf(scene)))


def flat(scene):
    for layer in scene.layers:
        for item in layer.items:
            yield from item.items if isinstance(item, Group) else (item,)


def test_audits_clean(opened):
    _, doc = opened
    audit = doc.audit()
    assert not audit.errors
    assert not audit.fixes


def test_layers_are_the_standards(opened):
    _, doc = opened
    used = {e.dxf.layer for e in doc.modelspace()}
    assert used <= set(styles.CAD_LAYERS)
    assert all(re.fullmatch(r"[AS]-[A-Z]{4}(-[A-Z]{4})?(-[EN])?", name) for name in styles.CAD_LAYERS)


def test_words_are_those_of_the_scene(opened):
    scene, doc = opened
    wanted = sorted(
        [i.text for i in flat(scene) if isinstance(i, Text)]
        + [m for i in flat(scene) if isinstance(i, Dimension) for m in i.more]
    )
    assert sorted(t.dxf.text for t in doc.modelspace().query("TEXT")) == wanted


def test_dimensions_are_real_and_measure_the_model(opened):
    scene, doc = opened
    wanted = [i for i in flat(scene) if isinstance(i, Dimension)]
    found = doc.modelspace().query("DIMENSION")
    assert len(found) == len(wanted) > 0
    for dim, item in zip(found, wanted, strict=True):
        k = 0 if item.axis == "x" else 1
        assert dim.get_measurement() == pytest.approx(abs(item.a[k] - item.b[k]), abs=1e-6)
        assert dim.dxf.text == item.text


def test_hatches(opened):
    scene, doc = opened
    wanted = sum(1 for i in flat(scene) if isinstance(i, Polygon) and i.hatch)
    assert sum(1 for h in doc.modelspace().query("HATCH") if not h.dxf.solid_fill) == wanted


def test_plan_is_at_full_size():
    import ezdxf

    doc = ezdxf.read(io.StringIO(to_dxf(SCENES["barn plan"])))
    outline = next(e for e in doc.modelspace().query("LWPOLYLINE") if e.dxf.layer == "A-ROOF-OTLN")
    xs, ys = zip(*[(p[0], p[1]) for p in outline.get_points()], strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((100.0, 80.0))
    assert doc.units == ezdxf.units.FT


def test_a_scene_without_a_view_is_refused():
    with pytest.raises(DrawingError, match="no view"):
        to_dxf(worst_on_each_line(sample.barn()[0]))
