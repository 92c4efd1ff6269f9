/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/measure.h"

#include <math.h>

#include "quantity/dimension.h"
#include "quantity/terms.h"

/* Sum about the first reading, which keeps what is small beside what is large. */
static double mean_of(const struct fw_quantity *readings, size_t count)
{
	double sum = 0;

	for (size_t i = 1; i < count; i++)
		sum += readings[i].value - readings[0].value;
	return readings[0].value + sum / (double)count;
}

/* Experimental standard deviation of the mean (JCGM 100:2008, equations 4 and 5). */
static double type_a(const struct fw_quantity *readings, size_t count, double mean)
{
	double squares = 0;

	for (size_t i = 0; i < count; i++) {
		double d = readings[i].value - mean;
		squares += d * d;
	}
	return sqrt(squares / ((double)(count - 1) * (double)count));
}

static int check_arguments(const struct fw_quantity *readings, size_t count,
                           const struct fw_gauge *gauge, const char *label, struct fw_error *err)
{
	char name[48];
	char text[64];
	char gauge_name[48];

	if (!readings || count < 1 || count > FW_READINGS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "a measurement takes 1 to %d readings, not %zu",
		               FW_READINGS_MOST, count);
	if (!label || label[0] == '\0')
		return fw_fail(err, FW_ERR_ARGUMENT, "a measurement needs a label of its own");
	if (!gauge)
		return FW_OK;
	if (!gauge->name || !(gauge->resolution > 0) || !isfinite(gauge->resolution) ||
	    !(gauge->error >= 0) || !isfinite(gauge->error) || !(gauge->relative >= 0) ||
	    !isfinite(gauge->relative))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gauge \"%s\": resolution must be above 0 and the error 0 or above",
		               gauge->name ? gauge->name : "");
	if (!fw_dimension_equal(gauge->dimension, readings[0].dimension))
		return fw_fail(err, FW_ERR_DIMENSION, "gauge \"%s\" reads a %s, but %s is a %s",
		               gauge->name,
		               fw_dimension_name(gauge->dimension, gauge_name, sizeof gauge_name),
		               fw_quantity_text(&readings[0], false, text, sizeof text),
		               fw_dimension_name(readings[0].dimension, name, sizeof name));
	return FW_OK;
}

/* All of one dimension; temperatures all on scales or all differences. */
static int check_alike(const struct fw_quantity *readings, size_t count, struct fw_error *err)
{
	char text[2][64];

	for (size_t i = 1; i < count; i++) {
		if (fw_dimension_equal(readings[0].dimension, readings[i].dimension) &&
		    fw_unit_is_scale(readings[0].unit) == fw_unit_is_scale(readings[i].unit))
			continue;
		return fw_fail(err, FW_ERR_DIMENSION, "reading 1 is %s, reading %zu is %s: not alike",
		               fw_quantity_text(&readings[0], false, text[0], sizeof text[0]), i + 1,
		               fw_quantity_text(&readings[i], false, text[1], sizeof text[1]));
	}
	return FW_OK;
}

/* What the readings already carry, each by its share in the mean. */
static int carry_terms(struct fw_quantity *mean, const struct fw_quantity *readings, size_t count,
                       struct fw_error *err)
{
	int code = FW_OK;

	for (size_t i = 0; i < count && code == FW_OK; i++) {
		struct fw_quantity before = *mean;
		code = fw_terms_combine(mean, &before, 1, &readings[i], 1 / (double)count, err);
	}
	return code;
}

double fw_gauge_limit(const struct fw_gauge *gauge, double si)
{
	return gauge->error + gauge->relative * fabs(si);
}

static int add_gauge(struct fw_quantity *mean, const struct fw_gauge *gauge, const char *label,
                     struct fw_error *err)
{
	uint64_t resolution = fw_source_extend(fw_source_name("resolution: "), label);
	uint64_t error = fw_source_extend(fw_source_name("gauge: "), gauge->name);

	int code = fw_quantity_add_term(mean, resolution, gauge->resolution / sqrt(12), INFINITY, err);
	if (code == FW_OK)
		code = fw_quantity_add_term(mean, error, fw_gauge_limit(gauge, mean->value) / sqrt(3),
		                            INFINITY, err);
	return code;
}

int fw_measure_combine(struct fw_quantity *out, const struct fw_quantity *readings, size_t count,
                       const struct fw_gauge *gauge, const char *label, struct fw_error *err)
{
	int code = check_arguments(readings, count, gauge, label, err);
	if (code == FW_OK)
		code = check_alike(readings, count, err);
	if (code != FW_OK)
		return code;

	struct fw_quantity mean = {.value = mean_of(readings, count),
	                           .dimension = readings[0].dimension,
	                           .unit = readings[0].unit};
	code = carry_terms(&mean, readings, count, err);
	if (code == FW_OK && count > 1) {
		uint64_t scatter = fw_source_extend(fw_source_name("repeatability: "), label);
		code = fw_quantity_add_term(&mean, scatter, type_a(readings, count, mean.value),
		                            (double)(count - 1), err);
	}
	if (code == FW_OK && gauge)
		code = add_gauge(&mean, gauge, label, err);
	if (code == FW_OK)
		code = fw_quantity_check(&mean, "combining readings", err);
	if (code == FW_OK)
		*out = mean;
	return code;
}
