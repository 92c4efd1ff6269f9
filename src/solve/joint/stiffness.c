/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fitwright/turn.h"

#define PI     3.14159265358979323846
#define TAN_30 0.57735026918962576451

static bool positive(double x)
{
	return isfinite(x) && x > 0.0;
}

static bool not_negative(double x)
{
	return isfinite(x) && x >= 0.0;
}

static int give(double *out, double stiffness, const char *of, struct fw_error *err)
{
	if (!positive(stiffness))
		return fw_fail(err, FW_ERR_RANGE, "stiffness of the %s: beyond all measure", of);
	*out = stiffness;
	return FW_OK;
}

static double circle(double diameter)
{
	return PI / 4.0 * diameter * diameter;
}

int fw_bolt_stiffness(double *out, const struct fw_bolt_spring *bolt, struct fw_error *err)
{
	if (!out || !bolt)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stiffness of the bolt: no bolt, or no place for the result");

	const struct fw_thread *t = &bolt->thread;
	if (!positive(t->diameter) || !positive(t->stress_area) || !positive(t->minor_dia))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "stiffness of the bolt: diameter, root and stress area of the thread must be "
		    "finite and above zero");
	if (!not_negative(bolt->shank) || !not_negative(bolt->threaded) ||
	    !positive(bolt->shank + bolt->threaded))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "stiffness of the bolt: plain and threaded length must be finite and 0 or more, "
		    "their sum above zero");
	if (!positive(bolt->modulus))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stiffness of the bolt: its modulus must be finite and above zero");

	/* Lengths over areas add up; divided by the modulus they are the compliance. */
	double stretch = bolt->shank / circle(t->diameter) + bolt->threaded / t->stress_area;
	if (bolt->ends)
		stretch +=
		    0.9 * t->diameter / circle(t->diameter) + 0.5 * t->diameter / circle(t->minor_dia);
	return give(out, bolt->modulus / stretch, "bolt", err);
}

int fw_sleeve_stiffness(double *out, double outer, double inner, double length, double modulus,
                        struct fw_error *err)
{
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "stiffness of the sleeve: no place for the result");
	if (!(inner >= 0.0 && inner < outer && isfinite(outer)))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "stiffness of the sleeve: its bore must be 0 or more and less than its outer "
		    "diameter");
	if (!positive(length) || !positive(modulus))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "stiffness of the sleeve: its length and modulus must be finite and above zero");
	return give(out, PI / 4.0 * (outer - inner) * (outer + inner) * modulus / length, "sleeve",
	            err);
}

/* Compliance of a cone of 30° that begins `wide` and grows over `length`. */
static double cone(double length, double modulus, double wide, double hole)
{
	double grown = wide + 2.0 * TAN_30 * length;
	double log_of = (grown - hole) * (wide + hole) / ((grown + hole) * (wide - hole));

	return log(log_of) / (PI * TAN_30 * modulus * hole);
}

/* From one face to half way; the layers are taken in turn from `first`, by `step`. */
static double half_compliance(const struct fw_layer *layer, size_t count, bool back, double half,
                              double face, double hole)
{
	double sum = 0.0, done = 0.0;

	for (size_t n = 0; n < count && done < half; n++) {
		const struct fw_layer *l = &layer[back ? count - 1 - n : n];
		double length = fmin(l->length, half - done);
		sum += cone(length, l->modulus, face + 2.0 * TAN_30 * done, hole);
		done += length;
	}
	return sum;
}

int fw_plates_stiffness(double *out, const struct fw_layer *layer, size_t count, double face,
                        double hole, struct fw_error *err)
{
	double length = 0.0;

	if (!out || !layer || count < 1 || count > FW_LAYERS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stiffness of the plates: takes 1 to %d layers, and a place for the result",
		               FW_LAYERS_MOST);
	if (!(hole > 0.0 && hole < face && isfinite(face)))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "stiffness of the plates: the hole must be above zero and less than the face "
		    "pressed on");
	for (size_t i = 0; i < count; i++) {
		if (!positive(layer[i].length) || !positive(layer[i].modulus))
			return fw_fail(
			    err, FW_ERR_ARGUMENT,
			    "stiffness of the plates, layer %zu: length and modulus must be finite and "
			    "above zero",
			    i + 1);
		length += layer[i].length;
	}
	if (!isfinite(length))
		return fw_fail(err, FW_ERR_RANGE, "stiffness of the plates: beyond all measure");
	double sum = half_compliance(layer, count, false, length / 2.0, face, hole) +
	             half_compliance(layer, count, true, length / 2.0, face, hole);
	return give(out, 1.0 / sum, "plates", err);
}
