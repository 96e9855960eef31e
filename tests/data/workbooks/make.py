"""All sheets of this folder as one workbook, by openpyxl: openpyxl.xlsx. Called by ./make."""
import csv
import datetime
import re

from openpyxl import Workbook

book = Workbook()
book.remove(book.active)
fixed = datetime.datetime(2026, 1, 1)


def typed(text):
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return datetime.date.fromisoformat(text), "yyyy-mm-dd"
    if re.fullmatch(r"-?\d+", text) and text != "1984":
        return int(text), "General"
    if re.fullmatch(r"-?\d+\.\d+", text):
        return float(text), "0.00"
    if re.fullmatch(r"\d+%", text):
        return int(text[:-1]) / 100, "0%"
    return text or None, "General"


about = book.create_sheet("About this list")
about["B3"] = "A list for a test. The cards are in the sheet of that name."
for name in ["cards", "prices", "owned", "tags", "targets", "pool", "notes"]:
    sheet = book.create_sheet(name)
    for row, cells in enumerate(csv.reader(open(name + ".csv", newline="", encoding="utf-8")), 1):
        for column, text in enumerate(cells, 1):
            value, form = typed(text)
            cell = sheet.cell(row, column, value)
            cell.number_format = form
old = book.create_sheet("cards of last year")
old.append(["name", "colours", "kind", "cost", "power", "price", "tags", "owned", "status", "text", "relics"])
old.append(["Never to be Read", "mauve"])
old.sheet_state = "hidden"
book.properties.created = book.properties.modified = fixed
book.save("openpyxl.xlsx")
