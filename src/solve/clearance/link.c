/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/clearance/link.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "solve/quote.h"

#define WHO (FW_QUOTE + 40)

const char *fw_stackup_shape_name(enum fw_stackup_shape shape)
{
	switch (shape) {
	case FW_STACKUP_NORMAL:
		return "normal";
	case FW_STACKUP_UNIFORM:
		return "uniform";
	case FW_STACKUP_TRIANGULAR:
		return "triangular";
	case FW_STACKUP_ARCSINE:
		return "arcsine";
	case FW_STACKUP_MEASURED:
		return "measured";
	}
	return NULL;
}

static double sigmas(const struct fw_stackup_link *link)
{
	return link->sigmas > 0.0 ? link->sigmas : FW_STACKUP_SIGMAS;
}

double fw_link_half(const struct fw_stackup_link *link)
{
	if (link->shape == FW_STACKUP_MEASURED)
		return sigmas(link) * link->u;
	return link->upper / 2.0 - link->lower / 2.0;
}

double fw_link_middle(const struct fw_stackup_link *link)
{
	return link->lower / 2.0 + link->upper / 2.0;
}

double fw_link_sd_share(const struct fw_stackup_link *link)
{
	switch (link->shape) {
	case FW_STACKUP_UNIFORM:
		return 1.0 / sqrt(3.0);
	case FW_STACKUP_TRIANGULAR:
		return 1.0 / sqrt(6.0);
	case FW_STACKUP_ARCSINE:
		return 1.0 / sqrt(2.0);
	default:
		return 1.0 / sigmas(link);
	}
}

double fw_link_excess(const struct fw_stackup_link *link)
{
	switch (link->shape) {
	case FW_STACKUP_UNIFORM:
		return -1.2;
	case FW_STACKUP_TRIANGULAR:
		return -0.6;
	case FW_STACKUP_ARCSINE:
		return -1.5;
	default:
		return 0.0;
	}
}

static const char *who(const struct fw_stackup_link *link, size_t index, char buffer[WHO])
{
	char quoted[FW_QUOTE];

	if (link->name && *link->name)
		snprintf(buffer, WHO, "link %zu (%s)", index + 1, fw_quote(link->name, quoted));
	else
		snprintf(buffer, WHO, "link %zu", index + 1);
	return buffer;
}

static int fail(const struct fw_stackup_link *link, size_t index, const char *what,
                struct fw_error *err)
{
	char buffer[WHO];

	return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: %s: %s", who(link, index, buffer), what);
}

/* What is wrong with the link, or NULL. */
static const char *fault(const struct fw_stackup_link *link)
{
	bool measured = link->shape == FW_STACKUP_MEASURED;

	if (!fw_stackup_shape_name(link->shape))
		return "there is no such shape of distribution";
	if (!isfinite(link->coefficient))
		return "the coefficient is not a finite number";
	if (link->coefficient == 0.0)
		return "the coefficient is 0, so it takes no part; leave it out";
	if (!isfinite(link->nominal))
		return "the nominal is not a finite number";
	if (!isfinite(link->lower))
		return "the lower deviation is not a finite number";
	if (!isfinite(link->upper))
		return "the upper deviation is not a finite number";
	if (link->lower > link->upper)
		return "the lower deviation is above the upper; are they swapped?";
	if (!isfinite(link->sigmas) || link->sigmas < 0.0)
		return "sigmas must be finite and above zero; 0 takes 3";
	if (!isfinite(link->u) || link->u < 0.0)
		return "the standard uncertainty must be finite and not negative";
	if (measured && (link->lower != 0.0 || link->upper != 0.0))
		return "a measured link has an uncertainty, not a tolerance";
	if (!measured && link->u != 0.0)
		return "only a measured link has a standard uncertainty";
	return NULL;
}

int fw_links_check(const struct fw_stackup_link *link, size_t count, struct fw_error *err)
{
	if (!link || count == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: there are no links");
	if (count > FW_STACKUP_LINKS)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: %zu links are too many, at most %d", count,
		               FW_STACKUP_LINKS);
	for (size_t i = 0; i < count; i++) {
		const char *what = fault(&link[i]);

		if (what)
			return fail(&link[i], i, what, err);
	}
	return FW_OK;
}
