"""A day by its own laws: what a controller takes, when it begins and ends, and how finely that is worked out."""

from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy import trapezoid

from calc.physics import fit
from calc.physics.day import Battery, Controller, charging, charging_spans
from calc.physics.daylight import Air, Light, Site, _between, area, daylight, widths
from calc.physics.feed import UnlikeStrings, alike
from calc.physics.sky import Plane
from calc.physics.sun import direction, refraction_deg

MODULE = fit(22.4, 6.3, 18.2, 6.04, beta_voc=-0.0030, alpha_isc=0.0005)
SMALL = fit(21.0, 3.4, 17.1, 3.1, beta_voc=-0.0034, alpha_isc=0.0005)
SITE = Site(44.0, Plane(45.0, 180.0), -103.0, 1100.0, 3.0)
AIR = Air(18.0, 10.0)
DATES = [(2025, 12, 21), (2025, 3, 20), (2025, 6, 21)]
EQUINOX = daylight(DATES[1], SITE, AIR)
SHORTEST = daylight(DATES[0], SITE, AIR)
MPPT = Controller(mppt=True, start_V=5.0, run_V=1.0, rated_A=30.0)
PWM = Controller(mppt=False, start_V=0.5, run_V=0.5, rated_A=30.0)
FULL_SUN = Light(12.0, 1000.0, 20.0)


def array(series=1, parallel=4, module=MODULE, **wire):
    """Alike strings on an open rack."""
    return alike(module, series, parallel, rise_K=31.25, **wire)


@dataclass(frozen=True)
class Made:
    """A source of a made-up open-circuit voltage, and the array that has it at every hour."""

    volts: object
    hour: float = 0.0

    def under(self, light):
        """What it gives at the hour of this light."""
        return Made(self.volts, light.hour)

    def voc(self):
        """The made-up voltage of its hour."""
        return self.volts(self.hour)

    def current(self, voltage):
        """One ampere for each volt below."""
        return max(self.voc() - voltage, 0.0)

    def mpp(self, open_V=None):  # noqa: ARG002, N803 - as a curve has it
        """The middle of that line."""
        return self.voc() / 2, self.voc() / 2


class TestController:
    def test_an_mppt_controller_takes_the_best_point(self):
        """With room above the battery, what goes into the battery is the array's maximum power."""
        source = array(2, 2).under(FULL_SUN)
        v, i = source.mpp()
        taken = MPPT.takes(12.0, source, 14.0)
        assert taken.power_W == v * i
        assert taken.current_A == i
        assert taken.charge_A == pytest.approx(v * i / 14.0)
        assert taken.clipped_W == 0.0

    def test_a_best_point_below_the_battery_is_out_of_reach(self):
        """Where the best point lies below battery and run margin, it works there, with less power than the best."""
        source = array().under(FULL_SUN)
        v, i = source.mpp()
        taken = MPPT.takes(12.0, source, v + 1.0)
        assert taken.current_A == source.current(v + 2.0) < i
        assert taken.power_W == (v + 2.0) * taken.current_A < v * i

    def test_nothing_flows_against_the_battery(self):
        """Above the array's open-circuit voltage nothing is taken, and nothing flows back."""
        source = array().under(FULL_SUN)
        for controller in (MPPT, PWM):
            taken = controller.takes(12.0, source, source.voc() + 1.0)
            assert (taken.power_W, taken.current_A, taken.charge_A) == (0.0, 0.0, 0.0)

    @pytest.mark.parametrize("controller", [MPPT, PWM])
    def test_beyond_the_rated_output_the_rest_is_left(self, controller):
        """The charge current ends at the rated output; what is taken and what is clipped add up to what there was."""
        source = array(1, 9).under(FULL_SUN)
        free = Controller(controller.mppt, controller.start_V, controller.run_V).takes(12.0, source, 12.0)
        taken = controller.takes(12.0, source, 12.0)
        assert taken.charge_A == 30.0
        assert taken.power_W == pytest.approx(360.0)
        assert taken.power_W + taken.clipped_W == pytest.approx(free.power_W)
        assert taken.current_A < free.current_A

    def test_a_clipping_mppt_controller_goes_up_in_voltage(self):
        """The point at which it leaves the rest lies above the best voltage and on the array's own curve."""
        source = array(1, 9).under(FULL_SUN)
        taken = MPPT.takes(12.0, source, 12.0)
        voltage = taken.power_W / taken.current_A
        assert voltage > source.mpp()[0]
        assert source.current(voltage) == pytest.approx(taken.current_A, rel=1e-9)

    def test_a_pwm_controller_joins_the_array_to_the_battery(self):
        """The array works at the battery's voltage plus the controller's own; the battery gets that current."""
        source = array(1, 2).under(FULL_SUN)
        taken = PWM.takes(12.0, source, 12.5)
        assert taken.current_A == taken.charge_A == source.current(13.0)
        assert taken.power_W == 12.5 * taken.charge_A

    def test_mppt_takes_more_than_pwm(self):
        """A tracker gives more than a plain switch while the battery is low (common practice, no source)."""
        battery = Battery(11.5, 14.4)
        mppt, pwm = (charging(EQUINOX, array(1, 2), one, battery).energy_Wh for one in (MPPT, PWM))
        assert mppt > 1.1 * pwm


class TestBattery:
    def test_it_rises_to_noon(self):
        """The battery stands at its lowest at sunrise and at absorption from noon on, along a straight line between."""
        battery = Battery(12.0, 14.4)
        assert [battery.at(hour, 6.0) for hour in (6.0, 9.0, 12.0, 15.0)] == [12.0, 13.2, 14.4, 14.4]
        assert battery.at(0.0, 0.0) == 12.0


class TestSpans:
    def test_it_begins_where_the_margin_is_reached_and_ends_where_it_is_lost(self):
        """At the beginning open-circuit voltage is the battery's plus the start margin, at the end plus the other."""
        battery, strings = Battery(12.0, 14.4), array(1, 4, SMALL)
        ((begin, end),) = charging_spans(EQUINOX, strings, MPPT, battery)
        for hour, margin in ((begin, 5.0), (end, 1.0)):
            needed = battery.at(hour, EQUINOX.sunrise) + margin
            found = [strings.under(EQUINOX.at(hour + shift)).voc() for shift in (-2 / 3600, 2 / 3600)]
            assert min(found) <= needed <= max(found)
        assert EQUINOX.sunrise < begin < 12.0 < end < EQUINOX.sunset

    def test_it_never_begins_where_the_voltage_is_never_reached(self):
        """An array of too few volts charges nothing, and nothing is added up."""
        taken = charging(EQUINOX, array(), MPPT, Battery(23.5, 29.2))
        assert (taken.spans, taken.energy_Wh, taken.squared_A2h) == ((), 0.0, 0.0)
        assert taken.best_Wh > 0.0

    def test_it_stops_where_heat_takes_the_voltage_and_starts_again(self):
        """Where the voltage falls below the run margin in the middle of the day there are two spans, not one."""
        dips = Made(lambda hour: 18.0 + 3.0 * cos(pi * (hour - 12.0) / 3.0) * -1.0)
        spans = charging_spans(EQUINOX, dips, Controller(True, 6.0, 4.0), Battery(12.0, 12.0))
        assert len(spans) == 2
        assert spans[0][1] < 12.0 < spans[1][0]
        assert spans[1][0] == pytest.approx(12.0 + 1.5, abs=0.001)  # where the voltage is 18 V again

    def test_a_start_below_the_run_margin_does_no_harm(self):
        """Odd margins, with less to start than to run, still give hours in order."""
        rises = Made(lambda hour: 10.0 + hour)
        spans = charging_spans(EQUINOX, rises, Controller(True, 1.0, 5.0), Battery(12.0, 12.0))
        assert all(begin <= end for begin, end in spans)
        assert [hour for span in spans for hour in span] == sorted(hour for span in spans for hour in span)

    def test_charging_goes_on_to_sunset(self):
        """A voltage that stays up ends with the sun."""
        steady = Made(lambda _: 30.0)
        ((begin, end),) = charging_spans(EQUINOX, steady, MPPT, Battery(12.0, 12.0))
        assert (begin, end) == (pytest.approx(EQUINOX.sunrise, abs=0.3), EQUINOX.sunset)

    def test_no_moment_is_told_twice(self):
        """What is taken is told from the begin of a span to its end, each hour once, also where the sun ends it."""
        for volts in (lambda _: 30.0, lambda hour: 10.0 + hour):
            taken = charging(EQUINOX, Made(volts), MPPT, Battery(12.0, 12.0))
            for span, course in zip(taken.spans, taken.course, strict=True):
                hours = [one.hour for one in course]
                assert (hours[0], hours[-1]) == span
                assert all(one < other for one, other in pairwise(hours))

    def test_no_sun_no_charging(self):
        """In the polar night there is neither light nor charging."""
        night = daylight(DATES[0], Site(70.0, Plane(70.0, 180.0)), AIR)
        assert night.moments == ()
        assert night.sunrise == night.sunset == 12.0
        taken = charging(night, array(2, 2), MPPT, Battery(12.0, 14.4))
        assert (taken.spans, taken.best_Wh) == ((), 0.0)

    def test_a_day_without_night_charges_around_the_clock(self):
        """In the polar day charging has no end before midnight."""
        bright = daylight(DATES[2], Site(75.0, Plane(60.0, 180.0)), AIR)
        assert (bright.sunrise, bright.sunset) == (0.0, 24.0)
        ((begin, end),) = charging_spans(bright, array(4, 1), MPPT, Battery(12.0, 14.4))
        assert begin < 1.0
        assert end > 23.0

    @settings(max_examples=25)
    @given(st.sampled_from([MODULE, SMALL]), st.sampled_from(DATES), st.floats(-10, 40), st.floats(11, 30))
    def test_series_reaches_the_controllers_voltage_no_later_than_parallel(
        self, module, date, warmest, battery
    ):
        """With more modules in series charging begins no later and ends no sooner (common practice, no source)."""
        day = daylight(date, SITE, Air(warmest, 10.0))
        spans = [
            charging_spans(day, array(series, 6 // series, module), MPPT, Battery(battery, battery * 1.2))
            for series in (1, 2, 3, 6)
        ]
        for fewer, more in pairwise(spans):
            if fewer:
                assert more
                assert more[0][0] <= fewer[0][0] + 2 / 3600
                assert more[-1][1] >= fewer[-1][1] - 2 / 3600

    def test_series_begins_well_before_parallel_where_the_voltage_is_scarce(self):
        """With little voltage to spare, two in series begin minutes before one (common practice, no source)."""
        battery = Battery(13.0, 14.4)
        one, two = (charging_spans(SHORTEST, array(n, 4 // n, SMALL), MPPT, battery)[0][0] for n in (1, 2))
        assert one - two > 3 / 60


class TestEnergy:
    @pytest.mark.parametrize("date", DATES)
    @pytest.mark.parametrize("controller", [MPPT, Controller(True, 5.0, 1.0, 20.0), PWM])
    def test_forty_steps_are_as_good_as_a_thousand(self, date, controller):
        """A day in 40 steps gives the energy of one in 1000 steps to a tenth of a percent (measured: 0.01 %)."""
        series = 3 if controller.mppt else 1
        strings, battery = array(series, 6 // series, array_ohm=0.09), Battery(23.5 / 2, 29.2 / 2)
        coarse, fine = (
            charging(daylight(date, SITE, AIR, intervals=steps), strings, controller, battery)
            for steps in (40, 1000)
        )
        assert coarse.energy_Wh == pytest.approx(fine.energy_Wh, rel=1e-3)
        assert coarse.clipped_Wh == pytest.approx(fine.clipped_Wh, rel=2e-2, abs=1e-3 * fine.energy_Wh)
        assert coarse.squared_A2h == pytest.approx(fine.squared_A2h, rel=5e-3)
        assert coarse.spans[0] == pytest.approx(fine.spans[0], abs=2 / 3600)

    def test_energy_is_conserved_over_the_run(self):
        """What leaves the strings is what arrives plus what the wire turns into heat, at every moment."""
        bare, wired = array(2, 3), array(2, 3, string_ohm=0.06, array_ohm=0.09)
        taken = charging(EQUINOX, wired, Controller(True, 2.0, 1.0), Battery(12.0, 14.0))
        for one in taken.course[0][1:-1]:
            at_controller = one.power_W / one.current_A
            before = at_controller + one.current_A * (0.06 / 3 + 0.09)
            source = bare.under(EQUINOX.at(one.hour))
            assert source.current(before) == pytest.approx(one.current_A, rel=1e-9)
            lost = one.current_A**2 * (0.06 / 3 + 0.09)
            assert before * one.current_A == pytest.approx(one.power_W + lost, rel=1e-12)

    def test_wire_takes_energy(self):
        """More resistance, less energy; and what it takes is about what the squared current says."""
        free = charging(EQUINOX, array(2, 2), MPPT, Battery(12.0, 14.0))
        wired = charging(EQUINOX, array(2, 2, array_ohm=0.1), MPPT, Battery(12.0, 14.0))
        assert free.energy_Wh - wired.energy_Wh == pytest.approx(0.1 * wired.squared_A2h, rel=0.1)

    def test_twice_the_strings_twice_the_energy(self):
        """Alike strings without common wire scale exactly."""
        battery, free = Battery(12.0, 14.0), Controller(True, 5.0, 1.0)
        one, two = (charging(EQUINOX, array(2, n), free, battery).energy_Wh for n in (1, 2))
        assert two == pytest.approx(2 * one, rel=1e-9)

    def test_light_from_behind_adds_current(self):
        """A tenth more light from behind gives about a tenth more energy, without more heat."""
        battery, free = Battery(12.0, 14.0), Controller(True, 5.0, 1.0)
        plain, both = (
            charging(EQUINOX, alike(MODULE, 2, 2, rise_K=30.0, rear_gain=gain), free, battery).energy_Wh
            for gain in (0.0, 0.1)
        )
        assert both / plain == pytest.approx(1.1, abs=0.01)

    def test_best_is_at_least_what_is_taken(self):
        """The array's best point is never passed by what a controller takes and clips."""
        for controller in (MPPT, PWM, Controller(True, 5.0, 1.0, 8.0)):
            taken = charging(SHORTEST, array(2, 2), controller, Battery(12.0, 14.4))
            assert taken.best_Wh >= taken.energy_Wh + taken.clipped_Wh - 0.5

    @pytest.mark.parametrize("controller", [PWM, Controller(True, 5.0, 1.0, 8.0)])
    def test_sums_run_over_the_course_of_the_day(self, controller):
        """Energy, what is clipped, and both squared currents, by numpy's trapezium rule."""
        taken = charging(EQUINOX, array(2, 2), controller, Battery(12.0, 14.4))

        def total(what):
            return sum(
                trapezoid([what(one) for one in span], [one.hour for one in span]) for span in taken.course
            )

        assert taken.energy_Wh == pytest.approx(total(lambda one: one.power_W), rel=1e-12)
        assert taken.clipped_Wh == pytest.approx(total(lambda one: one.clipped_W), rel=1e-12)
        assert taken.squared_A2h == pytest.approx(total(lambda one: one.current_A**2), rel=1e-12)
        assert taken.charge_squared_A2h == pytest.approx(total(lambda one: one.charge_A**2), rel=1e-12)
        for span, (begin, end) in zip(taken.course, taken.spans, strict=True):
            hours = [one.hour for one in span]
            assert (hours[0], hours[-1]) == (begin, end)
            assert hours == sorted(set(hours))

    def test_areas_lie_under_straight_lines(self):
        """The area under two points is that of a trapezium; under one point there is none."""
        assert area([(6.0, 0.0), (8.0, 4.0), (9.0, 4.0)]) == 8.0
        assert area([(6.0, 3.0)]) == 0.0
        assert area([]) == 0.0

    @given(st.lists(st.tuples(st.floats(0, 24), st.floats(-50, 1400)), max_size=12))
    def test_an_area_is_the_sum_of_its_trapezia(self, points):
        """However the hours lie, each stretch between two counts with the middle of its two values."""
        points = sorted(points)
        by_hand = 0.0
        for (hour, value), (later, other) in pairwise(points):
            by_hand += (later - hour) * (value + other) / 2

        assert area(points) == pytest.approx(by_hand, rel=1e-12, abs=1e-9)

    @given(st.lists(st.floats(0, 24), max_size=12).map(sorted))
    def test_hours_stand_for_the_whole_time_between_the_first_and_the_last(self, hours):
        """Each stands for half the way to both its neighbours, the first and the last for half of one way only."""
        found = widths(hours)

        assert len(found) == len(hours)
        assert sum(found) == pytest.approx(hours[-1] - hours[0] if hours else 0.0, abs=1e-12)
        for place, wide in enumerate(found):
            before, after = hours[max(place - 1, 0)], hours[min(place + 1, len(hours) - 1)]
            assert wide == pytest.approx((after - before) / 2, abs=1e-12)

    def test_no_hour_and_one_hour_stand_for_no_time(self):
        """Where there are no two hours there is no time between them."""
        assert widths([]) == []
        assert widths([6.0]) == [0.0]
        assert widths([6.0, 8.0]) == [1.0, 1.0]


class TestFeed:
    @given(st.integers(1, 5), st.integers(1, 5), st.floats(1, 1300), st.floats(-30, 45))
    def test_an_array_is_its_strings_and_their_wire(self, series, parallel, light, air):
        """At the end of its wire an array is n modules in series, m strings in parallel, and resistance in the path."""
        moment = Light(12.0, light, air)
        source = array(series, parallel, string_ohm=0.2, array_ohm=0.1).under(moment)
        bare = array(series, parallel).under(moment)
        v, i = source.mpp()
        assert bare.current(v + i * (0.2 / parallel + 0.1)) == pytest.approx(i, rel=1e-9, abs=1e-12)
        assert source.voc() == pytest.approx(bare.voc(), rel=1e-12)

    @pytest.mark.parametrize("ohm", [0.0, 0.12])
    def test_unlike_strings_that_are_alike_are_alike(self, ohm):
        """Two kinds of one and the same string behave as two alike strings, with and without wire."""
        kind = array(2, 1, string_ohm=0.05)
        apart, together = UnlikeStrings((kind, kind), ohm), array(2, 2, string_ohm=0.05, array_ohm=ohm)
        for light in (Light(9.0, 150.0, 5.0), FULL_SUN):
            one, other = apart.under(light), together.under(light)
            assert one.mpp() == pytest.approx(other.mpp(), rel=1e-6)
            assert one.voc() == pytest.approx(other.voc(), rel=1e-9)
            assert one.current(30.0) == pytest.approx(other.current(30.0), rel=1e-9)

    @pytest.mark.parametrize("ohm", [0.0, 1.0])
    def test_strings_of_very_small_modules_have_a_best_point_too(self, ohm):
        """Two kinds that are alike, of a tenth of an ampere each, as two of one kind."""
        small = fit(22.4, 0.1, 18.2, 0.094, beta_voc=-0.0030, alpha_isc=0.0005)
        joined = UnlikeStrings((array(1, 1, small), array(1, 1, small)), ohm).under(FULL_SUN)

        assert joined.mpp() == pytest.approx(
            array(1, 2, small, array_ohm=ohm).under(FULL_SUN).mpp(), rel=1e-6
        )
        assert joined.current(10.0) == pytest.approx(
            array(1, 2, small, array_ohm=ohm).under(FULL_SUN).current(10.0), rel=1e-9
        )

    def test_unlike_strings_have_one_best_point(self):
        """No other voltage gives the unlike array more, in sun or shade of evening; in the dark there is none."""
        mixed = UnlikeStrings((array(2, 1), array(2, 2, SMALL)), 0.15)
        for light in (Light(9.0, 90.0, 5.0), FULL_SUN):
            source = mixed.under(light)
            v, i = source.mpp()
            for step in range(1, 60):
                other = source.voc() * step / 60
                assert other * source.current(other) <= v * i * (1 + 1e-9)
        assert mixed.under(Light(0.0, 0.0, 5.0)).mpp() == (0.0, 0.0)


class TestDaylight:
    def test_the_air_is_a_wave(self):
        """The air is warmest at its hour and cooler by its swing twelve hours away."""
        assert Air(30.0, 12.0, 15.0).at(15.0) == 30.0
        assert Air(30.0, 12.0, 15.0).at(3.0) == pytest.approx(18.0)
        assert Air(30.0).at(3.0) == 30.0

    def test_noon_by_the_clock(self):
        """Two degrees east of the zone's middle the sun is eight minutes early, beside the equation of time."""
        middle, east = (
            daylight(DATES[0], Site(44.0, Plane(45.0, 180.0), longitude), AIR).clock_at_noon_h
            for longitude in (-105.0, -103.0)
        )
        assert (middle - east) * 60 == pytest.approx(8.0, abs=0.05)
        assert middle == pytest.approx(
            12.0 - 1.7 / 60, abs=0.005
        )  # sundials are 1.7 minutes ahead on 21 December

    def test_light_is_dark_at_the_ends_and_bright_at_noon(self):
        """From sunrise to sunset the light on a plane that faces noon rises to it and falls from it."""
        lights = [light.irradiance_Wm2 for light in SHORTEST.moments]
        assert lights[0] == lights[-1] == 0.0
        assert max(lights) == lights[len(lights) // 2]
        assert lights[: len(lights) // 2 + 1] == sorted(lights[: len(lights) // 2 + 1])

    def test_thin_air_bends_light_less(self):
        """A low sun at 4000 m is lifted by the air's share of pressure, about 61 %, of what it is at the sea."""
        low, high = (daylight(DATES[1], replace(SITE, elevation_m=m), AIR) for m in (0.0, 4000.0))
        hour = low.sunrise + 0.2
        angle = (hour - 12.0) * 15.0
        declination = low.declinations_deg[1] + (hour - 12.0) / 24.0 * (
            low.declinations_deg[2] - low.declinations_deg[0]
        )
        bare = direction(declination, angle, 44.0).elevation_deg
        lifts = [day.sun(hour).elevation_deg - bare for day in (low, high)]

        assert lifts[0] == pytest.approx(refraction_deg(bare), rel=1e-3)
        assert lifts[1] / lifts[0] == pytest.approx(0.608, abs=0.002)

    @pytest.mark.parametrize(("share", "value"), [(-1.0, 1.0), (0.0, 2.0), (1.0, 4.0), (0.5, 2.875)])
    def test_the_suns_declination_runs_through_three_values(self, share, value):
        """Half a day before noon, at noon and half a day after, along the one parabola between."""
        assert _between((1.0, 2.0, 4.0), share) == pytest.approx(value)

    def test_two_models_of_the_sky_are_told_apart(self):
        """The second opinion is that of the simpler model on the same day, within a fifth of ours."""
        ours, other = EQUINOX.second_opinion()
        assert ours != other
        assert other == pytest.approx(ours, rel=0.2)
