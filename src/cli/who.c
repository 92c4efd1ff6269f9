/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of people, against those with a key. */
#include "cli/who.h"

#include <stdlib.h>
#include <string.h>

#include "fitwright/people.h"

char *fw_cli_only_person(const struct fw_cli *cli)
{
	struct fw_trail *trail = NULL;
	struct fw_people people = {0};
	char *name = NULL;

	if (fw_cli_open(cli, &trail, FW_TRAIL_READ, NULL) == FW_OK &&
	    fw_people_read(&people, trail, 0, NULL) == FW_OK)
		for (size_t i = 0; i < people.count && !name && fw_people_in_use(&people) == 1; i++)
			if (people.list[i].until == 0)
				name = strdup(people.list[i].name);
	fw_people_free(&people);
	fw_trail_close(trail);
	return name;
}

void fw_cli_say_stranger(struct fw_trail *trail, const char *who)
{
	struct fw_people people = {0};

	if (fw_people_read(&people, trail, 0, NULL) == FW_OK && fw_people_in_use(&people) > 0 &&
	    !fw_people_find(&people, who))
		fw_cli_fail(FW_EXIT_FINE,
		            "'%s' has no key in this shop; if the name is wrong: /pause, then resume with "
		            "--who",
		            who);
	fw_people_free(&people);
}
