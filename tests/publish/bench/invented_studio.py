"""A small studio that has every page and paper there may be. Every word of its maker's begins with ``zy``."""

from __future__ import annotations

from pathlib import Path

from tests import studio
from tests.batch import keep_by_hand, write_plan

STUDIO = """
name = "Zysedge"
maker = "Zywenna Zytull"
tagline = "Zysmall zyglass"
place = "Zyferry"
email = "wenna@sedge.example"
address = "https://sedge.example/"
currency = "EUR"
"""
TABLES = {
    "bench": 'hourly_rate = "30"\noverheads_a_year = 1200\nbench_hours_a_year = 800\nallowance_percent = 20\nbatch = 5',
    "making": 'solder = "solder"\nwire = "wire"\ncutting_clearance_mm = "3"',
    "steps.cut": 'title = "Zycut"\nbatch = 10\npiece = "2.5"\nwaiting = 30\nrepeats = true',
    "finishes.bright": 'title = "Zybright"',
    "channels.online": 'title = "Zysite"\nshown_on = "catalogue"\nmarkup_percent = 50',
    "channels.stall": 'title = "Zystall"\nshown_on = "stall"\nmarkup_percent = 50\nfee_percent = "2.5"',
    "channels.trade": 'title = "Zyshops"\nshown_on = "shops"\nmarkup_percent = 1',
    "series.panes": 'title = "Zypanes"\nsummary = "Zyplain."',
    "discounts": 'percents = ["2.5", 90]\nbundles = [{ take = 3, pay = 2 }]',
}
MARKETS = """
[[markets]]
name = "Zyfair"
place = "Zyramp"
date = 2031-05-03
hours = "10:00"
code = "ferry"
stall_hours = 8

[[markets]]
name = "Zynext"
place = "Zyramp"
date = 2031-06-03
hours = "10:00"
code = "next"
change = [{ each = "0.50", count = 10 }]
"""
FILES = {
    "sales.csv": "market,product,count,price\nferry,pane,3,40\n",
    "markets/ferry.csv": "product,count\npane,4\n",
    "markets/next.csv": "product,count,box\npane,7,\n",
    "boxes.csv": "box,title,inner_length_mm,inner_width_mm,inner_depth_mm,wall_mm,mass_g,holds_g,padding_mm,material\n"
    "zysmall,Zybox,240,180,60,3,72,900,12,\n",
    "postage.csv": "carrier,band,most_length_mm,most_width_mm,most_depth_mm,most_girth_mm,most_mass_g,price\n"
    "Zypost,zyband,350,250,90,,750,3.10\n",
    "bench_made.csv": "batch,product,count\n" + "".join(f"b{number},pane,{number}\n" for number in range(1, 5)),
    "bench_log.csv": "date,batch,step,minutes,set_ups\n"
    + "".join(f"2031-03-0{number},b{number},cut,{20 + 7 * number},\n" for number in range(1, 5)),
    "spools.csv": "batch,before_g,after_g\nb2,500,470\nb4,400,344\n",
    "price_book.csv": "date,variant,channel,price\n2031-05-01,pane--bright,stall,10.00\n",
    "ready.csv": "date,product,finish,glass,count\n2031-05-01,pane,bright,plain,2\n",
    "reductions.csv": "product,channel,first_day,last_day,reason,price,earlier,under_floor,note\n"
    "zystand,online,2031-05-10,2031-06-10,second,12.00,40.00,yes,Zyscratch zyrim\n",
    "terms.md": "## Zypaying\n\nZypay zyfirst.\n",
    "pages/zyimprint.md": "---\ntitle: Zyimprint\n---\n\nZywho zyasks.\n",
    "orders/zyshop.csv": "code,count\npane--bright,2\nzybox--bright,1\n",
    "orders/zyshop.toml": 'buyer = "Zyshop"\ndated = 2031-05-10\nreference = "Zyref"\ncarriage = "6.00"\n',
    "quotes/zyhall.toml": 'buyer = "Zyhall"\ndated = 2031-05-10\nuntil = 2031-06-10\ndeposit_percent = 40\n'
    'ready_by = 2031-07-01\ncarriage = "6.00"\n\n'
    '[[items]]\nproduct = "pane"\nwidth = "120 mm"\nfinish = "bright"\nglass = "plain"\ncount = 2\n',
    "sets/zypair/set.md": "---\ntitle: Zypair\nseries: panes\nadded: 2031-05-01\nsummary: Zytwo.\nmade_of:\n"
    "  - {product: pane}\n  - {product: zyframed}\nless_percent: 5\n---\nZyboth.\n",
}
# What pieces stand on, sit in and are framed with.
HELD: dict[str, studio.Cells] = {
    "zyfoot": {"kind": "foot", "pack_size": "10", "pack_unit": "each", "mass_g": "12", "length_mm": "5",
               "width_mm": "60"},
    "zycame": {"kind": "came", "pack_size": "2", "pack_unit": "m", "width_mm": "6", "thickness_mm": "6",
               "rebate_mm": "4", "slot_mm": "4", "alloy": "Zn100", "loss_percent": "10"},
    "zyrod": {"kind": "wire", "pack_size": "5", "pack_unit": "m", "diameter_mm": "3", "density_g_cm3": "8.5"},
}  # fmt: skip
WALL = """
```svg zywall
<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="40" data-glass="zyleft"/><line data-mark="join" x1="0" y1="40" x2="60" y2="40"/>
</svg>
```
"""
BASE = '<rect width="60" height="60" data-glass="zyleft"/>'


def _records() -> dict[str, str]:
    """A pane that hangs, the same framed, on feet and on a rod, and a lamp of flat parts; every word of the maker's."""
    box = 'width="60mm" height="60mm" viewBox="0 0 60 60"'
    lamp = "hang: {by: stand, down: back, material: zyfoot, tealight: true}\n"
    lamp += "parts:\n  zywall: {inside_angle: 90, around: true}"
    texts = {
        "pane": studio.record(),
        "zyframed": studio.record(keys="frame: {material: zycame}\nhang: {by: chain, length: 300 mm}"),
        "zystand": studio.record(studio.PANE, keys="hang: {by: stand, material: zyfoot}"),
        "zystake": studio.record(studio.PANE, keys="hang: {by: stake, length: 220 mm, material: zyrod}"),
        "zybox": studio.record(BASE, box=box, glass="{zyleft: reed}", keys=lamp) + WALL,
    }
    return {name: _with_own_words(name, text) for name, text in texts.items()}


def _with_own_words(name: str, text: str) -> str:
    title = "Zypane" if name == "pane" else name.capitalize()
    text = text.replace("title: Pane", f"title: {title}").replace("A pane of two.", "Zytwo zypanes.")
    text = text.replace("Two panes.", "Zytwo.").replace("  plain:\n", "  plain:\n    title: Zyplain\n")
    text = text.replace("{left: reed, right: slate}", "{zyleft: reed, zyright: slate}")
    return text.replace('"left"', '"zyleft"').replace('"right"', '"zyright"')


def invented_studio(root: Path, language: str) -> Path:
    """A studio in a language, with every page and paper that there may be."""
    titles = {
        name: {"title": f"Zy{name.replace('-', '')}", "supplier": "Zysupply"} for name in (*studio.MATERIALS, *HELD)
    }
    sheet = {"pack_unit": "sheet", "sheet_width_mm": "200", "sheet_height_mm": "130", "loss_percent": "2.5"}
    materials = titles | {name: {**titles[name], **sheet} for name in ("reed", "slate")}
    materials |= {name: {**titles[name], **cells} for name, cells in HELD.items()}
    tables = {"studio": f'{STUDIO}language = "{language}"\n', **TABLES}
    project = studio.project(root, _records(), tables, materials, "reed,2031-04-01,15.50\n")
    content = project / "content"
    with (content / "studio.toml").open("a", encoding="utf-8") as file:
        file.write(MARKETS)
    for name, text in FILES.items():
        (content / name).parent.mkdir(parents=True, exist_ok=True)
        (content / name).write_text(text, encoding="utf-8")
    write_plan(root, "adopted = true")
    plan = content / "batches" / "spring.toml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("Spring fair", "Zyspring"), encoding="utf-8")
    keep_by_hand(root)
    return project
