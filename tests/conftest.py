"""What every test shares."""

import os

from hypothesis import settings

# No deadline for a single example: a laptop in a hangar and a shared build machine both stall now and then.
# In the build, the same examples every time.
settings.register_profile("here", deadline=None)
settings.register_profile("build", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("build" if os.environ.get("CI") else "here")
