/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A session of the terminal face on a job that asks from a list, for tests/terminal.sh to type
 * into. Prints what was recorded when it ends. */
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "face/face.h"
#include "fake_job.h"

static volatile sig_atomic_t stop;

static void on_stop(int number)
{
	(void)number;
	stop = 1;
}

static void on_continue(int number)
{
	(void)number;
}

static void make_steps(struct fake_step steps[4], struct fw_finding *finding)
{
	static const unsigned order[] = {1, 5, 3, 7, 2, 6, 4, 8};
	const struct fw_unit *mm = fw_unit_find("mm", 2);

	*finding = (struct fw_finding){.find = "verdict",
	                               .text = "End float against its limits.",
	                               .has_scale = true,
	                               .value = 0.23e-3,
	                               .u = 0.01e-3,
	                               .min = 0.1e-3,
	                               .max = 0.3e-3,
	                               .aim = NAN,
	                               .unit = mm,
	                               .verdict = "within",
	                               .probability = 0.99999};
	steps[0].question =
	    (struct fw_question){.ask = FW_ASK_QUANTITY,
	                         .step = "end-float",
	                         .phase = "Fit-up",
	                         .phase_number = 2,
	                         .phase_count = 3,
	                         .say = "Shaft out, zero the indicator; shaft in, read.",
	                         .caution = "Keep fingers clear of the bore.",
	                         .unit = mm,
	                         .low = 0,
	                         .high = 3e-3};
	steps[0].findings = finding;
	steps[0].finding_count = 1;
	steps[1].question =
	    (struct fw_question){.ask = FW_ASK_TEXT, .step = "remark", .say = "Anything to add?"};
	steps[2].question = (struct fw_question){.ask = FW_ASK_DONE,
	                                         .step = "cover",
	                                         .say = "Tighten the cover.",
	                                         .order = order,
	                                         .order_count = 8};
	steps[3].question = (struct fw_question){
	    .ask = FW_ASK_SIGN, .step = "release", .say = "Sign it off.", .role = "technician"};
}

int main(void)
{
	struct fake_step steps[4] = {0};
	struct fw_finding finding;
	struct fw_job job = {.steps = steps, .count = 4};
	struct fw_face face = {
	    .screen = fw_screen_make(stdout), .go_on = "fitwright resume 7", .stop = &stop};
	struct sigaction action = {.sa_handler = on_stop};
	enum fw_face_end end;
	struct fw_error err = {0};

	sigemptyset(&action.sa_mask);
	sigaction(SIGINT, &action, NULL);
	action.sa_handler = on_continue;
	sigaction(SIGCONT, &action, NULL);
	face.screen.colour = true;
	make_steps(steps, &finding);
	int code = fw_face_terminal(&job, &face, stdin, &end, &err);
	printf("code %d %s\n", code, err.text);
	for (size_t i = 0; i < job.at; i++)
		printf("recorded <%s>%s\n", job.typed[i], job.confirmed[i] ? " confirmed" : "");
	return code == FW_OK ? 0 : 1;
}
