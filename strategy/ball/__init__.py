"""Flight, launch from what is known, bounce and run: pure physics that knows nobody.

`air` gives density and the wind on a shot, `launch` how a ball leaves the face from what a player knows,
`flight` where and how it comes down under `law`, `ground` how far it runs.
"""
