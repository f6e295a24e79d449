"""The flight of `strategy.ball.flight` as one compiled loop a ball; tested equal to it.

The constants come as an argument, so that the cache on disk never holds old ones. The kernel releases
the interpreter lock and starts no threads of its own.
"""

from __future__ import annotations

import math

from strategy.compiled import njit


@njit(cache=True, nogil=True, inline="always")
def _acceleration(motion, axis, wind, rho, re, share, c):  # type: ignore[no-untyped-def]
    vx, vy, vz, w = motion
    ax, ay, az = axis
    wx, wy = wind
    ux, uy = vx - wx, vy - wy
    speed = math.sqrt(ux * ux + uy * uy + vz * vz)
    lift = c[4] * w / (c[5] * w + c[6] * speed + 1e-12)
    re2 = re * speed
    re2 *= re2
    re4 = re2 * re2
    kv = c[8] * rho * speed
    back = share * kv * (c[0] + c[1] * lift + c[2] / (1.0 + re4 * re4))
    up = kv * lift
    return (
        up * (ay * vz - az * uy) - back * ux,
        up * (az * ux - ax * vz) - back * uy,
        up * (ax * uy - ay * ux) - back * vz - c[9],
        -c[7] * rho * speed * w,
    )


@njit(cache=True, nogil=True, inline="always")
def _hermite(p0, v0, p1, v1, s, dt):  # type: ignore[no-untyped-def]
    m0, m1, rise = dt * v0, dt * v1, p1 - p0
    return p0 + s * (m0 + s * (3.0 * rise - 2.0 * m0 - m1 + s * (m0 + m1 - 2.0 * rise)))


@njit(cache=True, nogil=True, inline="always")
def _slope(p0, v0, p1, v1, s, dt):  # type: ignore[no-untyped-def]
    m0, m1, rise = dt * v0, dt * v1, p1 - p0
    return (m0 + s * (2.0 * (3.0 * rise - 2.0 * m0 - m1) + 3.0 * s * (m0 + m1 - 2.0 * rise))) / dt


@njit(cache=True, nogil=True)
def fly_all(columns, c, dt, most_steps, out):  # type: ignore[no-untyped-def]
    """Fly every column (16, n) of `flight._columns`; fills `out` (9, n) as `flight._fly_chunk` does."""
    half, sixth = 0.5 * dt, dt / 6.0
    for ball in range(columns.shape[1]):
        x, y, z = columns[0, ball], columns[1, ball], columns[2, ball]
        vx, vy, vz, w = columns[3, ball], columns[4, ball], columns[5, ball], columns[6, ball]
        axis = columns[7, ball], columns[8, ball], columns[9, ball]
        wind, rise = (columns[10, ball], columns[11, ball]), columns[12, ball]
        rho = columns[13, ball]
        re, share = c[3] * rho / columns[14, ball], columns[15, ball]
        tx = ty = tz = tvx = tvy = tvz = tw = tt = 0.0
        for i in range(most_steps):
            a1, b1, c1, d1 = _acceleration((vx, vy, vz, w), axis, wind, rho, re, share, c)
            vx2, vy2, vz2 = vx + half * a1, vy + half * b1, vz + half * c1
            a2, b2, c2, d2 = _acceleration((vx2, vy2, vz2, w + half * d1), axis, wind, rho, re, share, c)
            vx3, vy3, vz3 = vx + half * a2, vy + half * b2, vz + half * c2
            a3, b3, c3, d3 = _acceleration((vx3, vy3, vz3, w + half * d2), axis, wind, rho, re, share, c)
            vx4, vy4, vz4 = vx + dt * a3, vy + dt * b3, vz + dt * c3
            a4, b4, c4, d4 = _acceleration((vx4, vy4, vz4, w + dt * d3), axis, wind, rho, re, share, c)
            nx = x + sixth * (vx + 2.0 * (vx2 + vx3) + vx4)
            ny = y + sixth * (vy + 2.0 * (vy2 + vy3) + vy4)
            nz = z + sixth * (vz + 2.0 * (vz2 + vz3) + vz4)
            nvx = vx + sixth * (a1 + 2.0 * (a2 + a3) + a4)
            nvy = vy + sixth * (b1 + 2.0 * (b2 + b3) + b4)
            nvz = vz + sixth * (c1 + 2.0 * (c2 + c3) + c4)
            nw = w + sixth * (d1 + 2.0 * (d2 + d3) + d4)
            low = 0.0
            if vz > 0.0 and nvz <= 0.0:
                m0, m1, dz = dt * vz, dt * nvz, nz - z
                h, q = 2.0 * m0 + m1 - 3.0 * dz, m0 + m1 - 2.0 * dz
                s = m0 / (h + math.sqrt(max(h * h - 3.0 * q * m0, 0.0)))
                s = low = min(max(s, 0.0), 1.0)
                tx, ty, tz = (
                    _hermite(x, vx, nx, nvx, s, dt),
                    _hermite(y, vy, ny, nvy, s, dt),
                    _hermite(z, vz, nz, nvz, s, dt),
                )
                tvx, tvy, tvz = (
                    _slope(x, vx, nx, nvx, s, dt),
                    _slope(y, vy, ny, nvy, s, dt),
                    _slope(z, vz, nz, nvz, s, dt),
                )
                tw, tt = w + s * (nw - w), (i + s) * dt
            if nvz <= 0.0 and nz <= rise:
                if tz >= rise:
                    s = 1.0
                    for _ in range(40):
                        fall = min(_slope(z, vz, nz, nvz, s, dt), -1e-9) * dt
                        new = s - (_hermite(z, vz, nz, nvz, s, dt) - rise) / fall
                        new = min(max(new, low), 1.0)
                        moved = abs(new - s)
                        s = new
                        if moved < 1e-13:
                            break
                    out[0, ball] = _hermite(x, vx, nx, nvx, s, dt)
                    out[1, ball] = _hermite(y, vy, ny, nvy, s, dt)
                    out[3, ball] = _slope(x, vx, nx, nvx, s, dt)
                    out[4, ball] = _slope(y, vy, ny, nvy, s, dt)
                    out[5, ball] = _slope(z, vz, nz, nvz, s, dt)
                    out[6, ball] = w + s * (nw - w)
                    out[7, ball] = (i + s) * dt
                    out[8, ball] = 1.0
                else:
                    out[0, ball], out[1, ball] = tx, ty
                    out[3, ball], out[4, ball], out[5, ball] = tvx, tvy, tvz
                    out[6, ball], out[7, ball], out[8, ball] = tw, tt, 0.0
                out[2, ball] = tz
                break
            x, y, z, vx, vy, vz, w = nx, ny, nz, nvx, nvy, nvz, nw
        else:
            raise RuntimeError("a ball is still in the air after the last step")
