"""Strikes of the check table: the tour's launches, and how they fly in the table's air."""

from strategy.ball.air import Air
from strategy.ball.flight import Launch, fly
from strategy.reference import rows
from strategy.units import MPH_MPS, RPM_RAD_S, YARD_M

TOUR = {
    (row["tour"], row["club"]): (
        float(row["ball_speed_mph"]),
        float(row["launch_deg"]),
        float(row["spin_rpm"]),
    )
    for row in rows("launch_tour")
}
TABLE_AIR = Air(1.1849, 1.84e-5)
AMATEUR_DRIVER = (132.6, 12.6, 3275.0)


def strike(club, tour="men"):
    mph, launch, rpm = TOUR[tour, club] if isinstance(club, str) else club
    return Launch(speed_mps=mph * MPH_MPS, launch_deg=launch, spin_rad_s=rpm * RPM_RAD_S)


def flown(club, *, tour="men", head=0.0, cross=0.0, up=0.0, tilt=0.0, air=TABLE_AIR):
    """Flight of a club: winds in mph, height in yards."""
    launch = strike(club, tour).replace(tilt_deg=tilt)
    return fly(launch, head_mps=head * MPH_MPS, cross_mps=cross * MPH_MPS, rise_m=up * YARD_M, air=air)


def carry(club, **kw):
    return float(flown(club, **kw).carry_yd)
