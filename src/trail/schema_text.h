/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema_text.h  The statements of the schemas, each as SQLite keeps it. */
#ifndef FITWRIGHT_TRAIL_SCHEMA_TEXT_H
#define FITWRIGHT_TRAIL_SCHEMA_TEXT_H

/* schema_common.c */
extern const char fw_table_source[];
extern const char fw_trigger_entry_not_changed[];
extern const char fw_trigger_entry_not_deleted[];
extern const char fw_trigger_entry_not_replaced[];
extern const char fw_trigger_source_not_changed[];
extern const char fw_trigger_source_not_deleted[];
extern const char fw_trigger_source_not_replaced[];
extern const char fw_view_job[];
extern const char fw_view_measurement[];
extern const char fw_view_verdict[];
extern const char fw_view_trial[];
extern const char fw_view_torque[];
extern const char fw_view_part[];

/* schema_2_views.c */
extern const char fw_view_kept[];
extern const char fw_view_standing[];
extern const char fw_view_reading[];
extern const char fw_view_signature[];
extern const char fw_view_concession[];
extern const char fw_view_amendment[];
extern const char fw_view_attachment[];
extern const char fw_view_as_found_as_left[];
extern const char fw_view_person[];
extern const char fw_view_gauge[];

/* schema_1.c, schema_2.c: tables, then triggers, then views; NULL-terminated. */
extern const char *const fw_schema_1[];
extern const char *const fw_schema_2[];

#endif
