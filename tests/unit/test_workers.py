"""Who does the work: a pool whose workers end with it, a cluster that is always closed, and what does not answer."""

from __future__ import annotations

import sys
import threading
from contextlib import contextmanager
from multiprocessing import Pipe
from types import SimpleNamespace

import pytest

from bracing.errors import InputError
from bracing.many import rows as workers
from bracing.many.rows import LOCAL, die_with_parent, spread

ADDRESS = "tcp://10.0.0.1:8786"


class Cluster:
    """Stands for Dask: what was asked of it, what is open, and what is handed out."""

    def __init__(self):
        self.asked, self.open = [], []

    @contextmanager
    def opened(self, what):
        self.open.append(what)
        try:
            yield self
        finally:
            self.open.remove(what)

    def LocalCluster(self, **asked):
        self.asked.append(asked)
        return self.opened("cluster")

    def Client(self, address, timeout=None):
        self.asked.append(address)
        if address == "nonsense":
            why = "no scheme in it"
            raise ValueError(why)
        if address == "tcp://10.0.0.2:8786":
            why = "timed out"
            raise OSError(why)
        return Client(self)


class Client:
    """A client of it: open between `with` and its end."""

    def __init__(self, cluster):
        self.cluster = cluster

    def __enter__(self):
        self.cluster.open.append("client")
        return self

    def __exit__(self, *fault):
        self.cluster.open.remove("client")

    def get_executor(self):
        return self.cluster.opened("executor")


@pytest.fixture
def dask(monkeypatch):
    cluster = Cluster()
    module = SimpleNamespace(LocalCluster=cluster.LocalCluster, Client=cluster.Client)
    monkeypatch.setitem(sys.modules, "distributed", module)
    return cluster


def test_a_cluster_on_this_machine_has_a_process_a_worker_and_is_closed(dask):
    with spread(3, LOCAL) as executor:
        assert executor is dask
        assert dask.open == ["cluster", "client", "executor"]
    assert dask.open == []
    assert dask.asked[0] == {"n_workers": 3, "threads_per_worker": 1, "dashboard_address": None}


def test_a_cluster_elsewhere_is_asked_by_its_address(dask):
    with spread(None, ADDRESS) as executor:
        assert executor is dask
    assert dask.asked == [ADDRESS]
    assert dask.open == []


@pytest.mark.parametrize("where", [LOCAL, ADDRESS])
def test_a_fault_in_the_work_leaves_no_cluster_open(dask, where):
    why = "a fault"
    with pytest.raises(RuntimeError, match=why), spread(2, where):
        raise RuntimeError(why)
    assert dask.open == []


@pytest.mark.parametrize(
    ("address", "why"), [("nonsense", "no scheme"), ("tcp://10.0.0.2:8786", "timed out")]
)
def test_an_address_that_does_not_answer_is_refused_with_what_it_said(dask, address, why):
    with pytest.raises(InputError) as caught, spread(2, address):
        pass
    (fault,) = caught.value.faults
    assert (fault.field, fault.value) == ("--dask", address)
    assert why in fault.expected


def test_processes_are_as_many_as_asked_for_and_end_with_this_one(monkeypatch):
    started = []

    @contextmanager
    def pool(count, initializer):
        started.append((count, initializer))
        yield "pool"

    monkeypatch.setattr(workers, "ProcessPoolExecutor", pool)
    with spread(3) as executor:
        assert executor == "pool"
    assert started == [(3, die_with_parent)]


def test_a_worker_ends_when_its_parent_is_gone_and_not_before(monkeypatch):
    """The other end of a pipe stands for the parent: closed, as the kernel closes it for a killed process."""
    here, parent = Pipe(duplex=False)
    ended = threading.Event()
    status = []

    def leave(code):
        status.append(code)
        ended.set()

    monkeypatch.setattr(workers, "parent_process", lambda: SimpleNamespace(sentinel=here))
    monkeypatch.setattr(workers.os, "_exit", leave)
    die_with_parent()
    assert not ended.wait(0.2)
    parent.close()
    assert ended.wait(5.0)
    assert status == [1]
    here.close()


def test_the_first_process_has_no_parent_to_wait_for(monkeypatch):
    monkeypatch.setattr(workers, "parent_process", lambda: None)
    before = threading.active_count()
    die_with_parent()
    assert threading.active_count() == before
