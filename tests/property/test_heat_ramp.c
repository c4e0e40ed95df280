/* The closed form of the ramp against the equation it solves, integrated numerically, and what
 * must hold for every ramp. Grade D: the right-hand side is written down again here. */
#include "t.h"

#include "core/bath/mdr_heat.h"

/* xorshift64*, fixed seed: the same cases on every machine */
static uint64_t seed = 0x9E3779B97F4A7C15u;

static double between(double low, double high)
{
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    const double unit = (double)((seed * 0x2545F4914F6CDD1Du) >> 11) * 0x1p-53;
    return low + (high - low) * unit;
}

static mdr_heat_ramp_in any_ramp(void)
{
    mdr_heat_ramp_in in = {.capacity_kj_per_k = between(500, 60000),
                           .ua_kw_per_k = between(2, 60),
                           .rate_c_per_min = between(0.3, 6)};
    if (between(0, 1) < 0.5) {
        in.medium_c = between(110, 190);
        in.from_c = between(10, 90);
        in.to_c = between(in.from_c + 0.5, in.medium_c - 2);
    } else {
        in.medium_c = between(5, 30);
        in.from_c = between(60, 130);
        in.to_c = between(in.medium_c + 2, in.from_c - 0.5);
    }
    if (between(0, 1) < 0.5) {
        in.medium_max_kw = between(50, 4000);
    }
    if (between(0, 1) < 0.15) {
        in.rate_c_per_min = 0;
    }
    return in;
}

/* dT/dt, degC/min: what the control asks for, as far as exchanger and valve give it */
static double slope(const mdr_heat_ramp_in *in, double temp_c)
{
    const double side = in->to_c > in->from_c ? 1 : -1;
    double rate = in->ua_kw_per_k * fabs(in->medium_c - temp_c) / in->capacity_kj_per_k * 60;
    if (in->medium_max_kw > 0) {
        rate = fmin(rate, in->medium_max_kw / in->capacity_kj_per_k * 60);
    }
    if (in->rate_c_per_min > 0) {
        rate = fmin(rate, in->rate_c_per_min);
    }
    return side * rate;
}

static double rk4(const mdr_heat_ramp_in *in, double temp_c, double h)
{
    const double k1 = slope(in, temp_c);
    const double k2 = slope(in, temp_c + h / 2 * k1);
    const double k3 = slope(in, temp_c + h / 2 * k2);
    const double k4 = slope(in, temp_c + h * k3);
    return temp_c + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
}

static void agrees_with_integration(void **state)
{
    (void)state;
    for (int i = 0; i < 300; i++) {
        const mdr_heat_ramp_in in = any_ramp();
        const mdr_heat_ramp ramp = mdr_heat_ramp_make(&in);
        assert_true(ramp.reachable);
        const int steps = 20000;
        const double h = ramp.minutes / steps;
        double temp_c = in.from_c;
        for (int s = 0; s < steps; s++) {
            if (s % 997 == 0) {
                CHECK_NEAR(mdr_heat_ramp_temp_c(&ramp, s * h), temp_c, 1e-5,
                           "D: Runge-Kutta of 4th order, 20000 steps");
            }
            temp_c = rk4(&in, temp_c, h);
        }
        CHECK_NEAR(temp_c, in.to_c, 1e-5, "D: Runge-Kutta of 4th order, 20000 steps");
    }
}

/* Time is the integral of 1/rate over temperature. */
static void time_is_the_integral(void **state)
{
    (void)state;
    for (int i = 0; i < 300; i++) {
        const mdr_heat_ramp_in in = any_ramp();
        const int n = 20000;
        const double width = (in.to_c - in.from_c) / n;
        double minutes = 0;
        for (int k = 0; k < n; k++) {
            minutes += width / slope(&in, in.from_c + (k + 0.5) * width);
        }
        CHECK_NEAR(mdr_heat_ramp_make(&in).minutes / minutes, 1, 1e-6, "D: midpoint rule");
    }
}

static double minutes_of(mdr_heat_ramp_in in)
{
    return mdr_heat_ramp_make(&in).minutes;
}

static void monotone(void **state)
{
    (void)state;
    const double hair = 1 + 1e-12;
    for (int i = 0; i < 5000; i++) {
        const mdr_heat_ramp_in in = any_ramp();
        const double minutes = minutes_of(in);
        mdr_heat_ramp_in other = in;
        other.rate_c_per_min *= between(1, 3);
        assert_true(minutes_of(other) <= minutes * hair);
        other = in;
        other.ua_kw_per_k *= between(1, 3);
        assert_true(minutes_of(other) <= minutes * hair);
        other = in;
        other.medium_max_kw *= between(1, 3);
        assert_true(minutes_of(other) <= minutes * hair);
        other = in;
        other.capacity_kj_per_k *= between(1, 3);
        assert_true(minutes_of(other) >= minutes / hair);
        other = in;
        other.medium_c += (in.to_c > in.from_c ? 1 : -1) * between(0, 20);
        assert_true(minutes_of(other) <= minutes * hair);
        other = in;
        other.to_c = in.from_c + between(0, 1) * (in.to_c - in.from_c);
        assert_true(minutes_of(other) <= minutes * hair);
    }
}

/* Stopping half-way and going on takes no more and no less. */
static void in_two_parts(void **state)
{
    (void)state;
    for (int i = 0; i < 5000; i++) {
        const mdr_heat_ramp_in in = any_ramp();
        mdr_heat_ramp_in first = in, second = in;
        first.to_c = second.from_c = in.from_c + between(0.01, 0.99) * (in.to_c - in.from_c);
        CHECK_NEAR((minutes_of(first) + minutes_of(second)) / minutes_of(in), 1, 1e-9,
                   "D: the equation has no memory");
    }
}

static void drawn_curve_is_sound(void **state)
{
    (void)state;
    for (int i = 0; i < 5000; i++) {
        const mdr_heat_ramp_in in = any_ramp();
        const mdr_heat_ramp ramp = mdr_heat_ramp_make(&in);
        const double side = in.to_c > in.from_c ? 1 : -1;
        CHECK_NEAR(mdr_heat_ramp_temp_c(&ramp, 0), in.from_c, 1e-11, "D: begins at the beginning");
        CHECK_NEAR(mdr_heat_ramp_temp_c(&ramp, ramp.minutes), in.to_c, 0, "D: ends at the end");
        CHECK_NEAR(mdr_heat_ramp_temp_c(&ramp, ramp.minutes * (1 - 1e-13)), in.to_c, 1e-9,
                   "D: without a jump");
        CHECK_NEAR(mdr_heat_ramp_temp_c(&ramp, ramp.constant_min * (1 - 1e-13)),
                   mdr_heat_ramp_temp_c(&ramp, ramp.constant_min * (1 + 1e-13)), 1e-9,
                   "D: no jump at the take-over");
        double before = in.from_c;
        for (int k = 1; k <= 50; k++) {
            const double now = mdr_heat_ramp_temp_c(&ramp, ramp.minutes * k / 50);
            assert_true(side * (now - before) > -1e-9);
            before = now;
        }
        assert_true((ramp.limit == MDR_HEAT_LIMIT_EXCHANGER) == (ramp.minutes > ramp.constant_min));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_integration),
        cmocka_unit_test(time_is_the_integral),
        cmocka_unit_test(monotone),
        cmocka_unit_test(in_two_parts),
        cmocka_unit_test(drawn_curve_is_sound),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
