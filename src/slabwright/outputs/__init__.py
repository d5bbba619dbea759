"""Readings of a plan: drawings, sheet, book, workbook, machine-readable results.

::

    numbers, words, typography   values, checks and answers as people read them; every reader takes its text from here
    reading                      what holds, what must be asked and confirmed first, which sources it rests on
    look, marks, metrics         colours, weights, hatches; the five shapes of a state; widths of text
    labels, lettering, pen       placing text; the text of a picture; its lines and areas
    svg                          a picture as a drawing: ``picture_svg``
    reckonings                   one formula in words
    sheet, plan_sheet            paper, scales, title block: ``write_plan_sheet``
    chapters, book               the pour book: ``write_book``
    workbook                     ``write_workbook``
    results_json                 ``write_results`` and its schema
    atomic                       whole files or none
"""
