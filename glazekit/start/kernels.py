"""The lesson server's patience: a page that is woken while its Python is still starting is woken once that is there."""

import asyncio
from time import monotonic
from typing import Any

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

PATIENCE_S = 30.0
HANDSHAKE_S = 1.0
"""A page and its kernel shake hands for some tenths of a second once the page is connected [s]."""
LOOK_AGAIN_S = 0.1


class PatientKernels(AsyncMappingKernelManager):
    """Kernels that are restarted only when they have started. "Wake this page" is a restart and then a run. A restart while a
    starting kernel and its page shake hands cuts that off, and the page then waits for a reply that never comes."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self._connected_at_s: dict[str, float] = {}

    def notify_connect(self, kernel_id: str) -> None:
        """Note when a page was connected to a kernel."""
        self._connected_at_s[kernel_id] = monotonic()
        super().notify_connect(kernel_id)

    async def restart_kernel(self, kernel_id: str, now: bool = False) -> Any:
        """Restart a kernel when it and its page have shaken hands, or when patience is over."""
        end = monotonic() + PATIENCE_S
        while not self._has_started(kernel_id) and monotonic() < end:
            await asyncio.sleep(LOOK_AGAIN_S)
        return await super().restart_kernel(kernel_id, now=now)

    def _has_started(self, kernel_id: str) -> bool:
        if self.get_kernel(kernel_id).execution_state == "starting" or not self._kernel_connections.get(kernel_id):
            return False
        return monotonic() - self._connected_at_s[kernel_id] >= HANDSHAKE_S
