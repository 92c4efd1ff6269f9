/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preload with thread and head apart, prevailing torque, and the stress while tightening. */
#include "check.h"

#include <string.h>

#include "fitwright/joint.h"

#define MM       1e-3
#define INCH     0.0254
#define LBF      4.4482216152605    /* NIST SP 811, appendix B */
#define LBF_IN   0.1129848290276167 /* ditto */
#define PI       3.14159265358979323846
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static struct fw_joint joint(const char *text, double mu)
{
	struct fw_joint j = {.friction = {mu, mu, mu}};

	assert_ok(fw_thread_parse(&j.thread, text, &error));
	return j;
}

/* VDI 2230:2001, fine threads: preload F (kN) and torque M (N·m) at 90 % of yield, as reprinted by
 * a fastener supplier. Face and hole of hexagon heads by ISO 4014 and ISO 273 medium, from memory.
 */
struct vdi {
	const char *thread;
	double face, hole;                  /* mm */
	double preload[3][3], torque[3][3]; /* friction 0.10, 0.12, 0.14; class 8.8, 10.9, 12.9 */
};

static const struct vdi vdi[] = {
    {"M8x1",
     11.63,
     9.0,
     {{20.7, 30.4, 35.6}, {20.2, 29.7, 34.7}, {19.7, 28.9, 33.9}},
     {{22.8, 33.5, 39.2}, {26.1, 38.3, 44.9}, {29.2, 42.8, 50.1}}},
    {"M10x1.25",
     14.63,
     11.0,
     {{32.4, 47.5, 55.6}, {31.6, 46.4, 54.3}, {30.8, 45.2, 52.9}},
     {{44, 65, 76}, {51, 75, 87}, {57, 83, 98}}},
    {"M12x1.25",
     16.63,
     13.5,
     {{49.1, 72.1, 84.4}, {48.0, 70.5, 82.5}, {46.8, 68.7, 80.4}},
     {{79, 116, 135}, {90, 133, 155}, {101, 149, 174}}},
    {"M14x1.5",
     19.64,
     15.5,
     {{66.4, 97.5, 114.1}, {64.8, 95.2, 111.4}, {63.2, 92.9, 108.7}},
     {{124, 182, 213}, {142, 209, 244}, {159, 234, 274}}},
    {"M16x1.5",
     22.49,
     17.5,
     {{89.6, 131.6, 154.0}, {87.6, 128.7, 150.6}, {85.5, 125.5, 146.9}},
     {{189, 278, 325}, {218, 320, 374}, {244, 359, 420}}},
    {"M18x1.5",
     25.34,
     20.0,
     {{120, 171, 200}, {117, 167, 196}, {115, 163, 191}},
     {{283, 403, 472}, {327, 465, 544}, {368, 523, 613}}},
    {"M20x1.5",
     28.19,
     22.0,
     {{151, 215, 252}, {148, 211, 246}, {144, 206, 241}},
     {{392, 558, 653}, {454, 646, 756}, {511, 728, 852}}},
    {"M22x1.5",
     31.71,
     24.0,
     {{186, 264, 309}, {182, 259, 303}, {178, 253, 296}},
     {{529, 754, 882}, {613, 873, 1022}, {692, 985, 1153}}},
    {"M24x2",
     33.61,
     26.0,
     {{213, 304, 355}, {209, 297, 348}, {204, 290, 339}},
     {{666, 949, 1110}, {769, 1095, 1282}, {865, 1232, 1442}}},
};

static const double vdi_friction[] = {0.10, 0.12, 0.14};
static const char *const vdi_class[] = {"8.8", "10.9", "12.9"};

static double half_digit(double printed)
{
	return printed < 115.0 && printed != floor(printed) ? 0.05 : 0.5;
}

/* The stress that goes with each preload of the table is 90 % of yield: half a digit of the
 * preload, and 0.3 % for VDI's rounding on the way. */
static void test_vdi_2230_stress(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(vdi); i++)
		for (size_t m = 0; m < 3; m++)
			for (size_t c = 0; c < 3; c++) {
				struct fw_joint j = joint(vdi[i].thread, vdi_friction[m]);
				double f = vdi[i].preload[m][c], stress = 0.0;
				struct fw_strength s;
				assert_ok(fw_class_strength(&s, vdi_class[c], j.thread.diameter, &error));
				assert_ok(fw_joint_stress(&stress, &j, f * 1e3, vdi_friction[m], &error));
				assert_near(stress / s.yield, 0.9, 0.9 * (half_digit(f) / f + 0.003));
			}
}

/* And its torque: half a digit, and 1 % for VDI's rounded factors and the widths of the heads. */
static void test_vdi_2230_torque(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(vdi); i++)
		for (size_t m = 0; m < 3; m++)
			for (size_t c = 0; c < 3; c++) {
				struct fw_joint j = joint(vdi[i].thread, vdi_friction[m]);
				double f = vdi[i].preload[m][c], t = vdi[i].torque[m][c], torque = 0.0;
				assert_ok(fw_bearing_diameter(&j.bearing_dia, NULL, vdi[i].face * MM,
				                              vdi[i].hole * MM, &error));
				assert_ok(fw_joint_torque(&torque, &j, f * 1e3, &error));
				assert_near(torque, t, half_digit(t) + t * (half_digit(f) / f + 0.01));
			}
}

/* Thread and head apart, by hand: M10, P = 1.5, d2 = 9.026 (ISO 724), thread 0.12, head 0.08 on a
 * mean diameter of 13 mm: 20 kN · (1.5/6.28319 + 0.12·9.026/1.732051 + 0.08·13/2) mm = 20 ·
 * (0.238732 + 0.625339 + 0.52) = 27.6814 N·m. */
static void test_thread_and_head_apart(void **state)
{
	struct fw_joint j = joint("M10", 0.12);
	struct fw_preload p;
	struct fw_lever l;
	double torque = 0.0;
	(void)state;

	j.head = (struct fw_friction){0.08, 0.08, 0.08};
	j.bearing_dia = 13.0 * MM;
	assert_ok(fw_joint_torque(&torque, &j, 20e3, &error));
	assert_near(torque, 27.6814, 0.001);
	assert_ok(fw_joint_preload(&p, &j, torque, &error));
	assert_near(p.usual, 20e3, 1e-6);
	assert_near(p.low, p.usual, 1e-6);
	assert_near(p.high, p.usual, 1e-6);
	assert_ok(fw_joint_lever(&l, &j, 0.12, 0.08, &error));
	assert_near(l.rise / MM, 0.238732, 1e-6);
	assert_near(l.thread / MM, 0.625339, 2e-5);
	assert_near(l.head / MM, 0.52, 1e-12);
	/* head as the thread is the same as the head left out */
	struct fw_preload alike;
	j.head = j.friction;
	assert_ok(fw_joint_preload(&alike, &j, torque, &error));
	j.head = (struct fw_friction){0, 0, 0};
	assert_ok(fw_joint_preload(&p, &j, torque, &error));
	assert_near(p.usual, alike.usual, 0.0);
}

/* Half and half is lost in the thread's and the head's friction: of the torque on a dry joint about
 * 10 % stretches the bolt, 40 % goes into the thread, 50 % under the head. Common practice, no
 * source. */
static void test_where_the_torque_goes(void **state)
{
	static const char *const threads[] = {"M6", "M8", "M10", "M12", "3/8-16", "1/2-13"};
	(void)state;

	for (size_t i = 0; i < COUNT(threads); i++) {
		struct fw_joint j = joint(threads[i], 0.14);
		struct fw_lever l;
		assert_ok(fw_joint_lever(&l, &j, 0.14, 0.14, &error));
		double sum = l.rise + l.thread + l.head;
		assert_near(l.rise / sum, 0.10, 0.05);
		assert_near(l.thread / sum, 0.40, 0.05);
		assert_near(l.head / sum, 0.50, 0.05);
	}
}

/* AC 43.13-1B, 7-40: the nut's friction drag is added to the torque wanted. */
static void test_prevailing_torque(void **state)
{
	struct fw_joint j = joint("3/8-24", 0.15), plain = j;
	double with = 0.0, without = 0.0;
	struct fw_preload p, q;
	(void)state;

	j.prevailing = 9.5 * LBF_IN; /* TM 1-1500-204-23-6, table 2-8: least for a used nut 3/8-24 */
	assert_ok(fw_joint_torque(&with, &j, 10e3, &error));
	assert_ok(fw_joint_torque(&without, &plain, 10e3, &error));
	assert_near(with - without, 9.5 * LBF_IN, 1e-12);
	assert_ok(fw_joint_preload(&p, &j, with, &error));
	assert_ok(fw_joint_preload(&q, &plain, without, &error));
	assert_near(p.usual, q.usual, 1e-6);
	assert_near(p.nut_factor, q.nut_factor, 1e-12);
	assert_true(p.stress_usual > q.stress_usual); /* it twists the bolt too */
	assert_code(fw_joint_preload(&p, &j, 9.5 * LBF_IN, &error), FW_ERR_RANGE);
	assert_contains(error.text, "prevailing");
}

/* Errors of the wrench and of bedding down go where they belong. NASA TM-106943, equation 11: a
 * loss of 5 % of the lowest preload. */
static void test_scatter(void **state)
{
	struct fw_joint j = joint("M10", 0.12);
	struct fw_preload plain, p;
	(void)state;

	assert_ok(fw_joint_preload(&plain, &j, 40.0, &error));
	j.wrench = 0.05;
	j.wrench_fixed = 1.0;
	j.loss = 0.05;
	assert_ok(fw_joint_preload(&p, &j, 40.0, &error));
	assert_near(p.usual, plain.usual, 1e-9);
	assert_near(p.high / plain.usual, 43.0 / 40.0, 1e-12);
	assert_near(p.low / plain.usual, 37.0 / 40.0 * 0.95, 1e-12);
	j.prevailing = 38.0; /* eats up all of a torque that may be 37 */
	assert_ok(fw_joint_preload(&p, &j, 40.0, &error));
	assert_near(p.low, 0.0, 0.0);
	assert_true(p.usual > 0.0);
}

/* The stress at the highest preload is that of a thread that slips easily, or that of one that
 * doesn't, whichever is more: never less than either, worked out by hand from the parts. */
static void test_worst_stress(void **state)
{
	struct fw_joint j = joint("M10", 0.12);
	struct fw_preload p;
	double slick = 0.0, rough = 0.0;
	struct fw_lever l;
	(void)state;

	j.friction = (struct fw_friction){0.08, 0.12, 0.20};
	j.head = (struct fw_friction){0.06, 0.12, 0.20};
	j.wrench = 0.04;
	j.yield_stress = 640e6;
	assert_ok(fw_joint_preload(&p, &j, 40.0, &error));
	assert_ok(fw_joint_lever(&l, &j, 0.08, 0.06, &error));
	assert_ok(fw_joint_stress(&slick, &j, 41.6 / (l.rise + l.thread + l.head), 0.08, &error));
	assert_ok(fw_joint_lever(&l, &j, 0.20, 0.06, &error));
	assert_ok(fw_joint_stress(&rough, &j, 41.6 / (l.rise + l.thread + l.head), 0.20, &error));
	assert_near(p.stress_high, fmax(slick, rough), 1e-3);
	assert_near(p.yield_share, p.stress_high / 640e6, 1e-12);
	assert_true(p.stress_usual < p.stress_high);
}

/* A ring pressed evenly is what a flat clutch is: 2/3·(do³ - di³)/(do² - di²), handbooks of machine
 * elements. 30 and 20 mm: 2/3 · 19000/500 = 25.3333 mm; the plain mean is 25. */
static void test_bearing_diameter(void **state)
{
	double mean = 0.0, even = 0.0;
	(void)state;

	assert_ok(fw_bearing_diameter(&mean, &even, 30.0 * MM, 20.0 * MM, &error));
	assert_near(mean / MM, 25.0, 1e-12);
	assert_near(even / MM, 25.0 + 1.0 / 3.0, 1e-12);
	/* a full disc: 2/3 of its diameter */
	assert_ok(fw_bearing_diameter(&mean, &even, 30.0 * MM, 1e-9, &error));
	assert_near(even / MM, 20.0, 1e-6);
	/* a thin ring: both the same */
	assert_ok(fw_bearing_diameter(&mean, &even, 30.0 * MM, 29.999 * MM, &error));
	assert_near(even, mean, 1e-10);
	/* hexagon heads: the difference is below 1 % (16.63 on 13.5, ISO 4014 and ISO 273) */
	assert_ok(fw_bearing_diameter(&mean, &even, 16.63 * MM, 13.5 * MM, &error));
	assert_near(even / mean, 1.0, 0.01);
	assert_code(fw_bearing_diameter(&mean, &even, 10.0 * MM, 10.0 * MM, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_diameter(&mean, &even, 10.0 * MM, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_diameter(&mean, &even, NAN, 1.0 * MM, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_diameter(&mean, &even, INFINITY, 1.0 * MM, &error), FW_ERR_ARGUMENT);
	assert_code(fw_bearing_diameter(&mean, &even, 10.0 * MM, NAN, &error), FW_ERR_ARGUMENT);
}

/* NASA TM-106943, equation 1: 100 lbf·in at K = 0.2 on 1/4 in gives 2000 lbf. An M8 at 15 900
 * N: 25.44 N·m with K = 0.20, 19.08 with 0.15 (T = K·D·F). Lubricated to dry as K: 0.15/0.20 of the
 * torque. */
static void test_nut_factor_form(void **state)
{
	double preload = 0.0, torque = 0.0;
	(void)state;

	assert_ok(fw_nut_factor_preload(&preload, 0.2, 0.25 * INCH, 100.0 * LBF_IN, &error));
	assert_near(preload / LBF, 2000.0, 1e-9);
	assert_ok(fw_nut_factor_torque(&torque, 0.20, 8.0 * MM, 15900.0, &error));
	assert_near(torque, 25.44, 1e-9);
	assert_ok(fw_nut_factor_torque(&torque, 0.15, 8.0 * MM, 15900.0, &error));
	assert_near(torque, 19.08, 1e-9);
	assert_code(fw_nut_factor_preload(&preload, 0.0, 8.0 * MM, 20.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_nut_factor_preload(&preload, 1.1, 8.0 * MM, 20.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_nut_factor_preload(&preload, NAN, 8.0 * MM, 20.0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "K");
	assert_code(fw_nut_factor_preload(&preload, 0.2, 0.0, 20.0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "diameter");
	assert_code(fw_nut_factor_preload(&preload, 0.2, 8.0 * MM, NAN, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "torque");
	assert_code(fw_nut_factor_torque(&torque, 0.2, 8.0 * MM, -1.0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "preload");
	assert_code(fw_nut_factor_torque(NULL, 0.2, 8.0 * MM, 1.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_nut_factor_preload(&preload, 1e-300, 1e-300, 1e300, &error), FW_ERR_RANGE);
}

static void refuse(struct fw_joint j, const char *says)
{
	struct fw_preload p;
	struct fw_lever l;
	double x = 0.0;

	assert_code(fw_joint_preload(&p, &j, 20.0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_code(fw_joint_torque(&x, &j, 20.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_joint_stress(&x, &j, 20.0, 0.1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_joint_lever(&l, &j, 0.1, 0.1, &error), FW_ERR_ARGUMENT);
}

static void test_bad_joints(void **state)
{
	static const double bad[] = {-1.0, NAN, INFINITY};
	struct fw_joint good = joint("M8", 0.12), j;
	struct fw_lever l;
	double x = 0.0;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		j = good;
		j.yield_stress = bad[i];
		refuse(j, "yield");
		j = good;
		j.wrench_fixed = bad[i];
		refuse(j, "fixed");
		j = good;
		j.prevailing = bad[i];
		refuse(j, "prevailing");
		j = good;
		j.loss = bad[i];
		refuse(j, "bedding");
		j = good;
		j.head = (struct fw_friction){bad[i], 0.1, 0.2};
		refuse(j, "head");
		assert_code(fw_joint_stress(&x, &good, bad[i], 0.1, &error), FW_ERR_ARGUMENT);
		assert_code(fw_joint_stress(&x, &good, 1e3, bad[i], &error), FW_ERR_ARGUMENT);
		assert_code(fw_joint_lever(&l, &good, bad[i], 0.1, &error), FW_ERR_ARGUMENT);
		assert_code(fw_joint_lever(&l, &good, 0.1, bad[i], &error), FW_ERR_ARGUMENT);
	}
	j = good;
	j.loss = 1.0;
	refuse(j, "bedding");
	j = good;
	j.head = (struct fw_friction){0.0, 0.1, 0.1};
	refuse(j, "head");
	j = good;
	j.head = (struct fw_friction){0.2, 0.1, 0.3};
	refuse(j, "head");
	assert_code(fw_joint_stress(NULL, &good, 1.0, 0.1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_joint_lever(NULL, &good, 0.1, 0.1, &error), FW_ERR_ARGUMENT);
	assert_ptr_equal(fw_joint_head(&good), &good.friction);
	struct fw_joint apart = good;
	apart.head = (struct fw_friction){0.05, 0.06, 0.07};
	assert_ptr_equal(fw_joint_head(&apart), &apart.head);
	assert_code(fw_joint_stress(&x, &good, 1e308, 0.1, &error), FW_ERR_RANGE);
	assert_ok(fw_joint_stress(&x, &good, 0.0, 0.1, &error));
	assert_near(x, 0.0, 0.0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_vdi_2230_stress),       cmocka_unit_test(test_vdi_2230_torque),
	    cmocka_unit_test(test_thread_and_head_apart), cmocka_unit_test(test_where_the_torque_goes),
	    cmocka_unit_test(test_prevailing_torque),     cmocka_unit_test(test_scatter),
	    cmocka_unit_test(test_worst_stress),          cmocka_unit_test(test_bearing_diameter),
	    cmocka_unit_test(test_nut_factor_form),       cmocka_unit_test(test_bad_joints),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
