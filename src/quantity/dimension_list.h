/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file dimension_list.h  The dimensions of the tables: length, mass, time, temperature, angle. */
#ifndef FITWRIGHT_QUANTITY_DIMENSION_LIST_H
#define FITWRIGHT_QUANTITY_DIMENSION_LIST_H

/* clang-format off */
#define PLAIN       {0, 0, 0, 0, 0}
#define LENGTH      {1, 0, 0, 0, 0}
#define AREA        {2, 0, 0, 0, 0}
#define VOLUME      {3, 0, 0, 0, 0}
#define MASS        {0, 1, 0, 0, 0}
#define TIME        {0, 0, 1, 0, 0}
#define TEMPERATURE {0, 0, 0, 1, 0}
#define ANGLE       {0, 0, 0, 0, 1}
#define FORCE       {1, 1, -2, 0, 0}
#define TORQUE      {2, 1, -2, 0, 0}
#define PRESSURE    {-1, 1, -2, 0, 0}
#define STIFFNESS   {0, 1, -2, 0, 0}
#define SPEED       {0, 0, -1, 0, 1}
#define FREQUENCY   {0, 0, -1, 0, 0}
/* clang-format on */

#endif
