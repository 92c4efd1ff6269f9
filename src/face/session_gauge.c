/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/session.h"

int fw_session_gauge(struct fw_session *session, const char *rest, struct fw_error *err)
{
	(void)rest;
	(void)err;
	fw_message_show(session->screen, "Not there yet.");
	return FW_OK;
}
