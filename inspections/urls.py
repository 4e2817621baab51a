"""Routes of the inspections room."""

from django.urls import path

from inspections.views import (
    calculation,
    crossing,
    deciding,
    entry,
    reading,
    recalculation,
    reminders,
    signs,
    trials,
)

app_name = "inspections"

urlpatterns = [
    path("inspections/", reading.inspections_page, name="inspections"),
    path("inspections/<int:pk>/", reading.inspection_page, name="inspection"),
    path("inspections/<int:pk>/edit/", entry.edit_inspection, name="edit"),
    path("inspections/<int:pk>/progress/", reading.rating_progress, name="progress"),
    path("inspections/<int:pk>/accept/", deciding.accept_inspection, name="accept"),
    path("inspections/<int:pk>/send-back/", deciding.send_back_inspection, name="send_back"),
    path("structures/<int:pk>/inspections/start/", entry.start_inspection, name="start"),
    path("structures/<int:pk>/crossing/", crossing.crossing_page, name="crossing"),
    path("structures/<int:pk>/try/", trials.trial_page, name="trial"),
    path("structures/<int:pk>/restrict/", deciding.restrict_now_page, name="restrict"),
    path("ratings/<int:pk>/", calculation.calculation_sheet, name="calculation"),
    path("ratings/<int:pk>/calculation.pdf", calculation.calculation_pdf, name="calculation_pdf"),
    path("ratings/<int:pk>/input/", reading.rating_input, name="rating_input"),
    path("decisions/", deciding.decisions_page, name="decisions"),
    path("decisions/<int:pk>/", deciding.decision_page, name="decision"),
    path("decisions/<int:pk>/adopt/", deciding.adopt_recommendation, name="adopt"),
    path("decisions/<int:pk>/otherwise/", deciding.adopt_otherwise, name="otherwise"),
    path("decisions/<int:pk>/withdraw/", deciding.withdraw_recommendation, name="withdraw"),
    path("recalculations/", recalculation.recalculations_page, name="recalculations"),
    path("recalculations/ask/<int:pk>/", recalculation.ask, name="recalculation_ask"),
    path("recalculations/<int:pk>/", recalculation.recalculation_page, name="recalculation"),
    path("recalculations/<int:pk>/progress/", recalculation.recalculation_progress, name="recalculation_progress"),
    path("recalculations/<int:pk>/csv/", recalculation.recalculation_file, name="recalculation_file"),
    path("recalculations/<int:pk>/decide/", recalculation.decide, name="recalculation_decide"),
    path("signs/", signs.signs_page, name="signs"),
    path("signs/<int:pk>/confirm/", signs.confirm_sign, name="confirm_sign"),
    path("signs/<int:pk>/missing/", signs.report_sign_missing, name="sign_missing"),
    path("due/", reminders.due_page, name="due"),
    path("due/print/", reminders.due_print, name="due_print"),
    path("due/csv/", reminders.due_file, name="due_csv"),
    path("due/late/", reminders.late_page, name="due_late"),
    path("due/assign/", reminders.assign_chosen, name="due_assign"),
    path("due/<int:pk>/", reminders.reminder_page, name="reminder"),
    path("due/<int:pk>/acknowledge/", reminders.acknowledge, name="reminder_acknowledge"),
    path("due/<int:pk>/assign/", reminders.assign, name="reminder_assign"),
    path("due/<int:pk>/defer/", reminders.defer, name="reminder_defer"),
    path("due/<int:pk>/done/", reminders.complete, name="reminder_done"),
    path("messages/", reminders.messages_page, name="messages"),
    path("messages/read/", reminders.messages_read, name="messages_read"),
]
