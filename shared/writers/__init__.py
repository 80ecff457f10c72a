"""Writers of the finished view: paper, workbook, drawings, letters to yards."""
