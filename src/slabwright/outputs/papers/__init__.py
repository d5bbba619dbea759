"""Papers: one sheet for each person who needs one."""

from slabwright.outputs.papers.write import papers_data, sheet_pdf, write_papers

__all__ = ["papers_data", "sheet_pdf", "write_papers"]
