/*
 * mdr_interp.h - straight-line interpolation in a table whose key increases.
 *
 * Layer: num (pure). Outside the table there is no answer: asking is a fault of the caller, who
 * has checked the range and told the user, so it stops the program, also in release builds.
 * Nothing is extrapolated and nothing is clamped.
 *
 * Tables made by tools/csv2c are rows of several columns: `stride` is the number of columns,
 * `x` and `y` point at the first row's key and value.
 */
#ifndef MDR_INTERP_H
#define MDR_INTERP_H

/*
 * The band that holds `at`: i with x_i <= at < x_(i+1), in 0 .. n-2; the last band also holds
 * its own end.
 *   n       >= 2 rows; x strictly increasing
 *   at      in [x_0, x_(n-1)], else stops
 *   cost    O(log n)
 */
int mdr_interp_band(const double *x, int n, int stride, double at);

/* y at `at` on the straight line through the two neighbours. Exact at the rows. */
double mdr_interp_linear(const double *x, const double *y, int n, int stride, double at);

#endif
