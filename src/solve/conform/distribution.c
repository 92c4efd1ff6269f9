/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/conform/distribution.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* With freedom above 2e5 GSL's t can go through an incomplete gamma function whose underflow would
 * reach the global error handler, which aborts. Beyond 1e5 degrees t differs from the normal by
 * less than 2e-6 anyway. Squares of |x| past 1e150 would overflow; the tails there are nil. */
#define FAR_OUT 1e150

double fw_tail_below(double x, double freedom)
{
	if (x >= FAR_OUT)
		return 1.0;
	if (x <= -FAR_OUT)
		return 0.0;
	return freedom > FW_FREEDOM_NORMAL ? gsl_cdf_ugaussian_P(x) : gsl_cdf_tdist_P(x, freedom);
}

double fw_tail_above(double x, double freedom)
{
	return fw_tail_below(-x, freedom);
}

double fw_between(double low, double high, double freedom)
{
	double p = 0.0;

	if (low > 0.0)
		p = fw_tail_above(low, freedom) - fw_tail_above(high, freedom);
	else if (high < 0.0)
		p = fw_tail_below(high, freedom) - fw_tail_below(low, freedom);
	else
		p = 1.0 - fw_tail_below(low, freedom) - fw_tail_above(high, freedom);
	return p < 0.0 ? 0.0 : p;
}

double fw_beyond(double low, double high, double freedom)
{
	return fmin(fw_tail_below(low, freedom) + fw_tail_above(high, freedom), 1.0);
}

/* Fisher's expansion of t about the normal (Abramowitz and Stegun, 26.7.5, from memory); beyond 1e5
 * degrees its next term is below 1e-12. */
static double quantile_far(double p, double freedom)
{
	double z = gsl_cdf_ugaussian_Qinv(p), z2 = z * z;

	return z + z * (z2 + 1.0) / (4.0 * freedom) +
	       z * ((5.0 * z2 + 16.0) * z2 + 3.0) / (96.0 * freedom * freedom);
}

double fw_quantile_above(double p, double freedom)
{
	return freedom > FW_FREEDOM_NORMAL ? quantile_far(p, freedom) : gsl_cdf_tdist_Qinv(p, freedom);
}
