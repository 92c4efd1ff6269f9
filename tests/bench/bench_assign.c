/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads doubles, row by row, from a file; solves the assignment a few times; prints the least time
 * in seconds and the cost. "whole" as fourth word: as integers. Driven by assign.py. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "fitwright/assign.h"

#define REPEATS 3

static double now(void)
{
	struct timespec at;

	clock_gettime(CLOCK_MONOTONIC, &at);
	return (double)at.tv_sec + 1e-9 * (double)at.tv_nsec;
}

static int measure(const double *cost, const int64_t *whole, size_t rows, size_t columns)
{
	size_t *column = malloc(rows * sizeof *column);
	struct fw_error error = {0};
	double least = 1e9, total = 0.0;
	int rc = column ? FW_OK : FW_ERR_MEMORY;

	for (int k = 0; k < REPEATS && rc == FW_OK; k++) {
		double from = now();
		rc = whole ? fw_assign_whole(column, NULL, NULL, whole, rows, columns, &error)
		           : fw_assign(column, NULL, NULL, cost, rows, columns, &error);
		double took = now() - from;
		least = took < least ? took : least;
	}
	if (rc != FW_OK) {
		fprintf(stderr, "bench_assign: %s\n", error.text);
		free(column);
		return 1;
	}
	for (size_t i = 0; i < rows; i++)
		total += column[i] == FW_ASSIGN_NONE ? 0.0 : cost[i * columns + column[i]];
	printf("%.9f %.17g\n", least, total);
	free(column);
	return 0;
}

int main(int count, char **word)
{
	if (count < 4) {
		fprintf(stderr, "usage: bench_assign FILE ROWS COLUMNS [whole]\n");
		return 2;
	}
	size_t rows = strtoul(word[2], NULL, 10), columns = strtoul(word[3], NULL, 10);
	double *cost = malloc(rows * columns * sizeof *cost);
	int64_t *whole = count > 4 ? malloc(rows * columns * sizeof *whole) : NULL;
	FILE *file = fopen(word[1], "rb");
	int rc = 1;

	if (cost && file && fread(cost, sizeof *cost, rows * columns, file) == rows * columns) {
		for (size_t k = 0; whole && k < rows * columns; k++)
			whole[k] = (int64_t)cost[k];
		rc = measure(cost, whole, rows, columns);
	} else {
		fprintf(stderr, "bench_assign: can't read %s\n", word[1]);
	}
	if (file)
		fclose(file);
	free(cost);
	free(whole);
	return rc;
}
