"""Routes about files that are dropped on the desk: what was understood is shown before it is taken."""

from fastapi import APIRouter

from slabwright.web.api_jobs import SAID

router = APIRouter(prefix="/api/jobs/{job}/imports", tags=["imports"], responses=SAID)
