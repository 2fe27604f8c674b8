"""A small studio that has every paper a bench may have. Every word of its maker's begins with ``zy``."""

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
}


def invented_studio(root: Path, language: str) -> Path:
    """A studio in a language, with every paper that a bench may have."""
    titles = {name: {"title": f"Zy{name.replace('-', '')}", "supplier": "Zysupply"} for name in studio.MATERIALS}
    sheet = {"pack_unit": "sheet", "sheet_width_mm": "200", "sheet_height_mm": "130", "loss_percent": "2.5"}
    materials = titles | {name: {**titles[name], **sheet} for name in ("reed", "slate")}
    tables = {"studio": f'{STUDIO}language = "{language}"\n', **TABLES}
    record = studio.record().replace("title: Pane", "title: Zypane")
    record = record.replace("left", "zyleft").replace("right:", "zyright:").replace('"right"', '"zyright"')
    project = studio.project(root, {"pane": record}, tables, materials, "reed,2031-04-01,15.50\n")
    content = project / "content"
    with (content / "studio.toml").open("a", encoding="utf-8") as file:
        file.write(MARKETS)
    for name, text in FILES.items():
        (content / name).parent.mkdir(exist_ok=True)
        (content / name).write_text(text, encoding="utf-8")
    write_plan(root, "adopted = true")
    plan = content / "batches" / "spring.toml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("Spring fair", "Zyspring"), encoding="utf-8")
    keep_by_hand(root)
    return project
