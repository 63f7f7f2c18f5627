"""A page that is woken early is woken, a little later."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from importlib.resources import files
from types import SimpleNamespace

import pytest
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

from glazekit.start import kernels
from glazekit.start.kernels import PatientKernels

Restarted = Callable[..., tuple[bool, bool]]


@pytest.fixture
def restarted(monkeypatch: pytest.MonkeyPatch) -> Restarted:
    """Ask for a restart of a kernel in one state, then change its state: was it restarted before, was it after."""
    done: list[str] = []

    async def remember(self: object, kernel_id: str, now: bool = False) -> None:
        done.append(kernel_id)

    monkeypatch.setattr(AsyncMappingKernelManager, "restart_kernel", remember)
    monkeypatch.setattr(kernels, "LOOK_AGAIN_S", 0.001)

    async def play(first: str, then: str, pages: int, handshake_s: float) -> tuple[bool, bool]:
        monkeypatch.setattr(kernels, "HANDSHAKE_S", handshake_s)
        manager, kernel = PatientKernels(), SimpleNamespace(execution_state=first)
        monkeypatch.setattr(manager, "get_kernel", lambda kernel_id: kernel)
        manager._kernel_connections["one"] = 0
        for _ in range(pages):
            manager.notify_connect("one")
        asked = asyncio.ensure_future(manager.restart_kernel("one"))
        await asyncio.sleep(0.05)
        before = bool(done)
        kernel.execution_state = then
        await asyncio.sleep(0.1)
        after = bool(done)
        asked.cancel()
        return before, after

    return lambda first, then, pages=1, handshake_s=0.0: asyncio.run(play(first, then, pages, handshake_s))


def test_a_restart_waits_for_a_kernel_that_starts(restarted: Restarted) -> None:
    assert restarted("starting", "starting") == (False, False)
    assert restarted("starting", "idle") == (False, True)


def test_a_restart_waits_for_the_page(restarted: Restarted) -> None:
    assert restarted("idle", "idle", pages=0) == (False, False)


def test_a_restart_waits_for_the_handshake(restarted: Restarted) -> None:
    assert restarted("idle", "idle", handshake_s=0.1) == (False, True)


@pytest.mark.parametrize("state", ["idle", "busy"])
def test_a_kernel_that_has_started_is_restarted_at_once(restarted: Restarted, state: str) -> None:
    assert restarted(state, state) == (True, True)


def test_patience_ends(restarted: Restarted, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kernels, "PATIENCE_S", 0.01)
    assert restarted("starting", "starting") == (True, True)


def test_the_lesson_server_has_patience() -> None:
    config = json.loads(files("glazekit.start").joinpath("jupyter/jupyter_server_config.json").read_text("utf-8"))
    assert config["ServerApp"]["kernel_manager_class"] == f"{PatientKernels.__module__}.{PatientKernels.__qualname__}"
