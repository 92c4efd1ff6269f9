/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The table of units. Factors are products of the numbers by which the units are defined (NIST
 * Special Publication 811, appendix B; the international yard and pound of 1959), so the compiler
 * rounds once.
 *
 * In a spelling "·" stands for any separator or none: "ft·lb" is ft-lb, ft.lb, ft lb and ftlb.
 * Within a dimension the unit met most often comes first.
 */
#include "fitwright/quantity.h"
#include "quantity/dimension_list.h"

#define PI    3.14159265358979323846
#define INCH  0.0254
#define POUND 0.45359237
#define LBF   4.4482216152605 /* pound times standard gravity */
#define KGF   9.80665         /* standard gravity */
#define MMHG  133.322387415   /* conventional: 13.5951 g/cm³ under standard gravity */

#define ALSO(...) ((const char *const[]){__VA_ARGS__, NULL})
#define NONE      ((const char *const[]){NULL})

/* Squares are typed as 2, ^2 and ²; all three compare alike. */
static const struct fw_unit table[] = {
    {"1", "plain number", NONE, PLAIN, 1, 0, 0.001},
    {"%", "percent", ALSO("percent", "per·cent", "pct"), PLAIN, 0.01, 0, 0.1},

    {"mm", "millimetre", ALSO("millimetre", "millimetres", "millimeter", "millimeters", "mms"),
     LENGTH, 0.001, 0, 0.001},
    {"thou", "thousandth of an inch",
     ALSO("thous", "thousandth", "thousandths", "thousandth·of·an·inch", "thousandths·of·an·inch",
          "0.001·in"),
     LENGTH, INCH / 1000, 0, 0.1},
    {"in", "inch", ALSO("inch", "inches", "\"", "''"), LENGTH, INCH, 0, 0.0001},
    {"µm", "micrometre",
     ALSO("um", "micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"),
     LENGTH, 1e-6, 0, 0.1},
    {"cm", "centimetre", ALSO("centimetre", "centimetres", "centimeter", "centimeters", "cms"),
     LENGTH, 0.01, 0, 0.001},
    {"m", "metre", ALSO("metre", "metres", "meter", "meters"), LENGTH, 1, 0, 0.0001},
    {"ft", "foot", ALSO("foot", "feet", "'"), LENGTH, 12 * INCH, 0, 0.001},

    {"N·m", "newton metre",
     ALSO("m·N", "newton·metre", "newton·metres", "newton·meter", "newton·meters"), TORQUE, 1, 0,
     0.01},
    {"lbf·ft", "pound-force foot",
     ALSO("lb·ft", "lbs·ft", "ft·lb", "ft·lbs", "ft·lbf", "foot·pound", "foot·pounds", "pound·foot",
          "pound·feet", "pounds·feet", "pound·force·foot", "pound·force·feet", "foot·pound·force"),
     TORQUE, LBF * 12 * INCH, 0, 0.1},
    {"lbf·in", "pound-force inch",
     ALSO("lb·in", "lbs·in", "in·lb", "in·lbs", "in·lbf", "inch·lb", "inch·lbs", "inch·pound",
          "inch·pounds", "pound·inch", "pound·inches", "pound·force·inch", "inch·pound·force"),
     TORQUE, LBF *INCH, 0, 0.1},
    {"kgf·m", "kilogram-force metre",
     ALSO("kg·m", "kp·m", "m·kg", "m·kgf", "m·kp", "kilogram·metre", "kilogram·meter"), TORQUE, KGF,
     0, 0.001},
    {"kgf·cm", "kilogram-force centimetre", ALSO("kg·cm", "kp·cm", "cm·kg", "cm·kgf", "cm·kp"),
     TORQUE, KGF * 0.01, 0, 0.1},
    {"N·cm", "newton centimetre", ALSO("cm·N", "cN·m", "newton·centimetre", "newton·centimeter"),
     TORQUE, 0.01, 0, 0.1},
    {"ozf·in", "ounce-force inch", ALSO("oz·in", "in·oz", "in·ozf", "inch·ounce", "inch·ounces"),
     TORQUE, LBF *INCH / 16, 0, 0.1},

    {"N", "newton", ALSO("newton", "newtons"), FORCE, 1, 0, 0.1},
    {"kN", "kilonewton", ALSO("kilonewton", "kilonewtons"), FORCE, 1000, 0, 0.01},
    {"lbf", "pound-force", ALSO("lbs·f", "lb·f", "pound·force", "pounds·force"), FORCE, LBF, 0,
     0.1},
    {"kgf", "kilogram-force", ALSO("kg·f", "kp", "kilopond", "kilogram·force"), FORCE, KGF, 0,
     0.01},

    {"kg", "kilogram", ALSO("kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme"), MASS, 1,
     0, 0.001},
    {"g", "gram", ALSO("gram", "grams", "gramme", "grammes", "gm"), MASS, 0.001, 0, 0.1},
    {"lb", "pound", ALSO("lbs", "lbm", "pound", "pounds"), MASS, POUND, 0, 0.01},
    {"oz", "ounce", ALSO("ounce", "ounces"), MASS, POUND / 16, 0, 0.1},

    {"°C", "degree Celsius",
     ALSO("C", "°·C", "deg·C", "degree·C", "degrees·C", "celsius", "degree·celsius",
          "degrees·celsius", "centigrade"),
     TEMPERATURE, 1, 273.15, 0.1},
    {"°F", "degree Fahrenheit",
     ALSO("F", "°·F", "deg·F", "degree·F", "degrees·F", "fahrenheit", "degree·fahrenheit",
          "degrees·fahrenheit"),
     TEMPERATURE, 5.0 / 9, 459.67 * 5 / 9, 0.1},
    {"K", "kelvin", ALSO("kelvin", "kelvins", "Δ°C", "ΔC", "delta·C", "delta·°C"), TEMPERATURE, 1,
     0, 0.1},
    {"Δ°F", "Fahrenheit degree of difference", ALSO("ΔF", "delta·F", "delta·°F"), TEMPERATURE,
     5.0 / 9, 0, 0.1},

    {"°", "degree", ALSO("deg", "degs", "degree", "degrees"), ANGLE, PI / 180, 0, 0.01},
    {"arcmin", "minute of arc", ALSO("arcmins", "minute·of·arc", "minutes·of·arc", "arc·minutes"),
     ANGLE, PI / 10800, 0, 0.1},
    {"turn", "turn", ALSO("turns", "rev", "revs", "revolution", "revolutions"), ANGLE, 2 * PI, 0,
     0.001},
    {"rad", "radian", ALSO("rads", "radian", "radians"), ANGLE, 1, 0, 0.0001},

    {"s", "second", ALSO("sec", "secs", "second", "seconds"), TIME, 1, 0, 0.1},
    {"min", "minute", ALSO("mins", "minute", "minutes"), TIME, 60, 0, 0.1},
    {"h", "hour", ALSO("hr", "hrs", "hour", "hours"), TIME, 3600, 0, 0.01},

    {"bar", "bar", ALSO("bars"), PRESSURE, 1e5, 0, 0.01},
    {"psi", "pound-force per square inch",
     ALSO("lbf/in²", "lb/in²", "lbs/in²", "lb/sq·in", "lbs/sq·in", "p.s.i",
          "pounds·per·square·inch"),
     PRESSURE, LBF / (INCH * INCH), 0, 0.1},
    {"kPa", "kilopascal", ALSO("kilopascal", "kilopascals"), PRESSURE, 1000, 0, 0.1},
    {"GPa", "gigapascal", ALSO("kN/mm²", "gigapascals"), PRESSURE, 1e9, 0, 0.01},
    {"MPa", "megapascal", ALSO("N/mm²", "megapascal", "megapascals"), PRESSURE, 1e6, 0, 0.001},
    {"kgf/cm²", "kilogram-force per square centimetre", ALSO("kg/cm²", "kp/cm²"), PRESSURE, 98066.5,
     0, 0.01},
    {"inHg", "inch of mercury", ALSO("in·Hg", "inch·Hg", "inches·of·mercury", "\"·Hg"), PRESSURE,
     25.4 * MMHG, 0, 0.1},
    {"ksi", "thousand pound-force per square inch", NONE, PRESSURE, 1000 * LBF / (INCH * INCH), 0,
     0.01},
    {"Pa", "pascal", ALSO("pascal", "pascals", "N/m²"), PRESSURE, 1, 0, 1},

    {"mm²", "square millimetre", ALSO("sq·mm", "square·mm"), AREA, 1e-6, 0, 0.1},
    {"m²", "square metre", ALSO("sq·m", "square·m"), AREA, 1, 0, 1e-6},

    {"ml", "millilitre", ALSO("millilitre", "millilitres", "milliliter", "milliliters"), VOLUME,
     1e-6, 0, 0.1},
    {"cc", "cubic centimetre", ALSO("cm³", "ccs", "cu·cm"), VOLUME, 1e-6, 0, 0.1},
    {"L", "litre", ALSO("litre", "litres", "liter", "liters"), VOLUME, 0.001, 0, 0.001},
    {"m³", "cubic metre", ALSO("cu·m", "cubic·m"), VOLUME, 1, 0, 1e-6},

    {"rpm", "revolution per minute", ALSO("r/min", "rev/min", "revs/min", "r.p.m", "1/min"), SPEED,
     PI / 30, 0, 1},
    {"rad/s", "radian per second", ALSO("rad/sec", "radians/s"), SPEED, 1, 0, 0.01},

    {"Hz", "hertz", ALSO("cycles/s", "cps"), FREQUENCY, 1, 0, 0.01},
    {"kHz", "kilohertz", NONE, FREQUENCY, 1000, 0, 0.001},

    {"N/mm", "newton per millimetre", NONE, STIFFNESS, 1000, 0, 0.1},
    {"N/m", "newton per metre", NONE, STIFFNESS, 1, 0, 1},
};

const struct fw_unit *fw_units(size_t *count)
{
	if (count)
		*count = sizeof table / sizeof table[0];
	return table;
}
