"""What is shown: tables in, figures, pages, workbook and messages out. Draws, never computes."""
