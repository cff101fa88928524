"""Addresses of the floor: side by side, a trainee's own pages, words and cues between coach and trainee."""

from __future__ import annotations

from django.urls import path

from setwright.web.views import cues, day, floor, hours, me, sharing, told

urlpatterns = [
    path("t/<uuid:trainee_id>/now/", day.now, name="now"),
    path("floor/", floor.floor, name="floor"),
    path("floor/sheet/", floor.sheet, name="floor-sheet"),
    path("floor/sheet.pdf", floor.sheet_pdf, name="floor-sheet-pdf"),
    path("floor/hours/", hours.listed, name="hours"),
    path("floor/hours/<uuid:hour_id>/", hours.one, name="hour"),
    path("floor/hours/<uuid:hour_id>/now/", hours.now, name="hour-now"),
    path("floor/hours/<uuid:hour_id>/screen/", hours.screen, name="hour-screen"),
    path("open-links/", sharing.everywhere, name="all-links"),
    path("board/<str:secret>/", hours.board, name="board"),
    path("board/<str:secret>/now/", hours.board_now, name="board-now"),
    path("me/progress/", me.progress, name="progress"),
    path("me/words/", me.words, name="words"),
    path("me/log.csv", me.log_file, name="own-log"),
    path("me/log.parquet", me.log_table_file, name="own-log-table"),
    path("me/everything.json", me.data_file, name="own-data"),
    path("t/<uuid:trainee_id>/notes/", told.notes, name="notes"),
    path("t/<uuid:trainee_id>/notes/<uuid:note_id>/seen/", told.seen, name="note-seen"),
    path("t/<uuid:trainee_id>/cues/", cues.cues, name="cues"),
    path("t/<uuid:trainee_id>/cues/<int:cue_id>/away/", cues.take_cue_away, name="cue-away"),
    path("cues/<int:cue_id>/file/", cues.cue_file, name="cue-file"),
]
