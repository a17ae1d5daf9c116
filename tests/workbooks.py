"""Write rows to workbooks, as a spreadsheet program would."""

from pathlib import Path

import odf.opendocument
import odf.table
import odf.text
import openpyxl


def write_xlsx(file: Path, rows) -> None:
    book = openpyxl.Workbook()
    book.create_sheet("List")
    for row in rows:
        book["List"].append(row)
    book.save(file)


def write_ods(file: Path, rows) -> None:
    document = odf.opendocument.OpenDocumentSpreadsheet()
    table = odf.table.Table(name="List")
    for row in rows:
        line = odf.table.TableRow()
        for value in row:
            number = isinstance(value, int | float)
            kind = {"valuetype": "float", "value": value} if number else {"valuetype": "string"}
            cell = odf.table.TableCell(**kind)
            cell.addElement(odf.text.P(text=str(value)))
            line.addElement(cell)
        table.addElement(line)
    document.spreadsheet.addElement(table)
    document.save(str(file))
