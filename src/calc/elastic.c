/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/elastic.h"

/* Usual figures, from memory. Grey iron's modulus runs from 70 to 140 GPa with its grade. */
const struct fw_elastic *fw_elastic_at(int choice)
{
	static const struct fw_elastic table[] = {
	    {"steel", 207e9, 0.30},        {"stainless", 195e9, 0.30}, {"cast-iron", 110e9, 0.26},
	    {"ductile-iron", 170e9, 0.28}, {"aluminium", 71e9, 0.33},  {"cast-aluminium", 71e9, 0.33},
	    {"magnesium", 45e9, 0.35},     {"bronze", 103e9, 0.34},    {"brass", 97e9, 0.34}};

	return &table[choice];
}
