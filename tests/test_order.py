"""order: plans against a longest path of networkx and against integer programming (HiGHS); clashes, circles and slips by hand."""
import networkx
import numpy as np
import pint
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from kitchenlib import order
from kitchenlib.order import SERVICE, Link, Step, lasting, plan, slip
from kitchenlib.units import OutOfRange, Q_


def m(number):
    return Q_(float(number), "min")


# by hand: spheres and ice are each 6 min of work, want to be dressed within 5 min, and dressing takes 4 min
STEPS = (Step("base", m(20), 1, 1), Step("rest", m(60), 0), Step("spheres", m(6)), Step("ice", m(6)), Step("dress", m(4)))
LINKS = (Link("base", "rest"), Link("rest", "spheres"), Link("spheres", "dress", most=m(5), why="the shell goes on setting"),
         Link("ice", "dress", most=m(5), why="it melts"), Link("dress", SERVICE, most=m(2), why="the plate cools"))


def planted(seed, n, people=2, burners=1, windows=True):
    """Steps and links that can be kept, since they were read off a plan; and that plan's lead in min."""
    rng = np.random.default_rng([seed, n])
    steps, links, starts, ends, free = [], [], [], [], {"hands": np.zeros(people), "burners": np.zeros(burners)}
    for j in range(n):
        long, need = int(rng.integers(1, 8)), {"hands": int(rng.integers(0, min(2, people) + 1)), "burners": int(rng.integers(0, burners + 1) > 0)}
        before = {i: int(rng.integers(0, 4)) for i in range(max(0, j - 6), j) if rng.random() < 0.3}
        begin = max([0.0, *(ends[i] + wait for i, wait in before.items()), *(x for name, q in need.items() for x in np.sort(free[name])[:q])])
        for name, q in need.items():
            free[name][np.argsort(free[name])[:q]] = begin + long
        starts.append(begin)
        ends.append(begin + long)
        steps.append(Step(f"s{j}", m(long), need["hands"], need["burners"]))
        links += [Link(f"s{i}", f"s{j}", m(wait), m(begin - ends[i] + rng.integers(0, 5)) if windows and rng.random() < 0.6 else None)
                  for i, wait in before.items()]
    lead = max(ends)
    if windows:
        links += [Link(f"s{i}", SERVICE, most=m(lead - ends[i] + rng.integers(0, 5))) for i in range(n) if lead - ends[i] < 8]
    return steps, links, lead


def kept(made, starts):
    """Whether starts [min] keep all that a plan has to keep, looked at from outside."""
    at = {**{s.key: t for s, t in zip(made.steps, starts)}, SERVICE: 0.0}
    long = {s.key: s.time.m_as("min") for s in made.steps}
    fine = all(at[key] + long[key] < 1e-6 for key in long)
    for link in made.links:
        wait = at[link.then] - at[link.first] - long[link.first]
        fine &= link.least.m_as("min") - 1e-6 < wait and (link.most is None or wait < link.most.m_as("min") + 1e-6)
    for name, limit in (("hands", made.people), ("burners", made.burners)):
        for now in starts:
            fine &= sum(getattr(s, name) for s in made.steps if at[s.key] <= now + 1e-6 < at[s.key] + long[s.key] - 1e-6) <= limit
    return fine


def shortest(steps, links, people, burners, horizon):
    """The shortest lead in whole minutes, by integer programming over start minutes; None where there is none."""
    n, size = len(steps), horizon + 1
    long = [round(s.time.m_as("min")) for s in steps]
    at = {**{s.key: i for i, s in enumerate(steps)}, SERVICE: n}
    width, rows, low, high = (n + 1) * size, [], [], []

    def add(entries, least, most):
        row = np.zeros(width)
        for column, number in entries:
            row[column] += number
        rows.append(row), low.append(least), high.append(most)

    def begins(i, sign=1):
        return [(i * size + t, sign * t) for t in range(size)]
    for i in range(n + 1):
        add([(i * size + t, 1) for t in range(size)], 1, 1)
    for i in range(n):
        add(begins(n) + begins(i, -1), long[i], np.inf)
    for link in links:
        i, j = at[link.first], at[link.then]
        most = np.inf if link.most is None else link.most.m_as("min")
        add(begins(j) + begins(i, -1), long[i] + link.least.m_as("min"), long[i] + most)
    for name, limit in (("hands", people), ("burners", burners)):
        for now in range(size):
            add([(i * size + t, getattr(s, name)) for i, s in enumerate(steps) for t in range(max(0, now - long[i] + 1), now + 1)], 0, limit)
    cost = np.zeros(width)
    cost[n * size:] = np.arange(size)
    found = milp(cost, constraints=LinearConstraint(np.array(rows), low, high), integrality=np.ones(width), bounds=Bounds(0, 1))
    return round(found.fun) if found.success else None


# --- against the outside -----------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("seed", range(8))
def test_without_windows_and_with_hands_enough_it_is_the_longest_path(seed):
    """networkx: dag_longest_path_length, to the second."""
    steps, links, _ = planted(seed, 14, windows=False)
    graph = networkx.DiGraph()
    graph.add_weighted_edges_from((s.key, SERVICE, s.time.m_as("min")) for s in steps)
    long = {s.key: s.time.m_as("min") for s in steps}
    graph.add_weighted_edges_from((link.first, link.then, long[link.first] + link.least.m) for link in links)
    made = plan(steps, links, people=100, burners=100)
    assert made.proven and made.lead.m_as("min") == pytest.approx(networkx.dag_longest_path_length(graph), abs=1e-6)
    for step, late, early in zip(steps, made.latest.m, made.earliest.m):
        tail = networkx.dag_longest_path_length(graph.subgraph({step.key} | networkx.descendants(graph, step.key)))
        assert late == pytest.approx(-tail) and early <= late + 1e-9


@pytest.mark.parametrize("seed", range(14))
def test_up_to_eight_steps_nothing_is_shorter_and_the_list_is_near(seed, monkeypatch):
    """Integer programming over all start minutes as brute force; the list never beyond 1.3 times, and always found."""
    n, people = 5 + seed % 4, 1 + seed % 2
    steps, links, lead = planted(seed, n, people)
    brute = shortest(steps, links, people, 1, int(lead))
    made = plan(steps, links, people, 1)
    assert made.found and made.proven and made.lead.m_as("min") == pytest.approx(brute)
    monkeypatch.setattr(order, "EXHAUSTIVE", 0)
    listed = plan(steps, links, people, 1)
    assert listed.found and listed.lead.m_as("min") <= 1.3 * brute + 1e-6
    for one in (made, listed):
        assert kept(one, one.latest.m_as("min")) and kept(one, one.earliest.m_as("min"))


@pytest.mark.parametrize("seed", range(8))
def test_no_plan_is_said_only_where_there_is_none(seed):
    """Windows drawn at random, most of which cannot be kept; integer programming knows."""
    rng = np.random.default_rng(seed)
    steps, links, lead = planted(seed, 6, 1)
    links = [link._replace(most=m(rng.integers(0, 6))) if link.least.m == 0 else link for link in links]
    brute, made = shortest(steps, links, 1, 1, int(sum(s.time.m for s in steps)) + 20), plan(steps, links, 1, 1)
    assert made.found == (brute is not None) and made.proven


@pytest.mark.parametrize("n, people", [(20, 1), (40, 2), (40, 3)])
def test_long_plans_keep_everything(n, people):
    steps, links, lead = planted(2, n, people)
    made = plan(steps, links, people, 1)
    assert made.found and made.lead.m_as("min") <= 1.3 * lead
    assert kept(made, made.latest.m_as("min")) and kept(made, made.earliest.m_as("min"))
    for i, step in enumerate(steps):                         # who does what: as many pairs of hands as it wants, none twice at a time
        assert len(made.who[i]) == step.hands
        for j in range(i):
            apart = made.latest[i] >= made.latest[j] + steps[j].time or made.latest[j] >= made.latest[i] + step.time
            assert apart or not set(made.who[i]) & set(made.who[j])


# --- by hand -----------------------------------------------------------------------------------------------------------------------------
def test_spheres_and_ice_want_the_same_hands():
    """One cook: 6 + 6 min one after the other, but only 5 min of waiting for whichever is first. Two cooks: 20 + 60 + 6 + 4."""
    alone, two = plan(STEPS, LINKS, 1, 1), plan(STEPS, LINKS, 2, 1)
    assert not alone.found and alone.proven and alone.clash[0][:2] == ("spheres", "ice")
    for words in ("spheres goes before ice", "ice goes before spheres", "the shell goes on setting", "it melts", "1 min too long"):
        assert words in alone.words
    assert two.latest.m.tolist() == pytest.approx([-90, -70, -10, -10, -4])
    assert two.slack.m.tolist() == pytest.approx([0, 0, 0, 5, 0])      # the ice may wait its 5 min
    assert set(two.who[2]) != set(two.who[3])


def test_work_that_two_can_share_evenly_is_shared_evenly():
    """By hand: 64 min for two cooks; 13 + 11 + 5 + 3 = 7 + 7 + 7 + 11 = 32."""
    made = plan([Step(f"s{i}", m(long)) for i, long in enumerate((7, 7, 7, 11, 11, 13, 5, 3))], people=2)
    assert made.proven and made.lead.m == pytest.approx(32)


def test_what_breaks_when_a_step_slips():
    made = plan(STEPS, LINKS, 2, 1)
    late = slip(made, "spheres", m(10))                      # the ice is scooped already: 10 min of waiting for 5
    assert late.late.m == pytest.approx(10) and [b[:2] for b in late.broken] == [("ice", "dress")] and late.broken[0][2].m == pytest.approx(5)
    assert "ice waits 5 min too long (dress" in late.words
    assert (late.starts - made.latest).m.tolist() == pytest.approx([0, 0, 0, 0, 10])     # what has begun stays, the dressing moves on
    base = slip(made, "base", m(10))                         # all that follows moves along
    assert base.late.m == pytest.approx(10) and base.broken == ()
    early = plan(STEPS, LINKS, 2, 1, opens=m(150))
    assert slip(early, "base", m(10), early=True).late.m == 0          # it was begun an hour before it had to
    assert slip(early, "rest", m(71), early=True).late.m == pytest.approx(71 - early.slack[1].m)


def test_windows_broken_on_purpose_are_named():
    links = [*LINKS, Link("spheres", "ice", least=m(3), why="one scoop")]          # 3 + 6 min, and dress within 5
    made = plan(STEPS, links, 9, 9)
    assert not made.found and made.proven and {c[:2] for c in made.clash} == {("spheres", "ice"), ("ice", "dress"), ("dress", "spheres")}
    assert "4 min too long" in made.words
    late = plan(STEPS, LINKS, 2, 1, opens=m(80))
    assert not late.found and "the kitchen opens 80 min before the service" in late.words and "10 min too long" in late.words
    crowd = plan([Step(f"lift {k}", m(4)) for k in range(4)], [Link(f"lift {k}", SERVICE, most=m(2)) for k in range(4)], 2)
    assert not crowd.found and crowd.proven and "last 6 min before the service want 16 min of hands" in crowd.words and "12 min" in crowd.words


def test_a_circle_is_named():
    with pytest.raises(ValueError, match="base waits for dress waits for spheres waits for rest waits for base"):
        plan(STEPS, [*LINKS, Link("dress", "base")])
    with pytest.raises(ValueError, match="circle: ice waits for ice"):
        plan(STEPS, [Link("ice", "ice")])


def test_bad_input_says_what_and_how():
    for bad, error, words in (
            (lambda: plan([]), ValueError, "at least one step"),
            (lambda: plan([*STEPS, STEPS[0]]), ValueError, "two steps are called 'base'"),
            (lambda: plan([Step(SERVICE, m(1))]), ValueError, "call the step something else"),
            (lambda: plan(STEPS, [Link("bases", "ice")]), LookupError, "'bases' is no step; base?"),
            (lambda: plan(STEPS, [Link(SERVICE, "ice")]), LookupError, "is no step"),
            (lambda: plan([Step("a", 5)]), TypeError, "needs a unit"),
            (lambda: plan([Step("a", Q_(5, "g"))]), pint.DimensionalityError, "another kind"),
            (lambda: plan([Step("a", m(-1))]), OutOfRange, "time"),
            (lambda: plan([Step("a", m(float("nan")))]), OutOfRange, "time"),
            (lambda: plan(STEPS, people=1.5), OutOfRange, "people is a whole number"),
            (lambda: plan([Step("a", m(1), hands=-1)]), OutOfRange, "hands of a is a whole number"),
            (lambda: slip(plan(STEPS, LINKS, 2, 1), "dres"), LookupError, "dress?"),
            (lambda: slip(plan(STEPS, LINKS, 1, 1), "dress"), ValueError, "no plan")):
        with pytest.raises(error, match=words.replace("?", r"\?")):
            bad()
    assert "base wants 1 burners; there are none" in plan(STEPS, LINKS, 2, 0).words
    with pytest.raises(OutOfRange):
        lasting(Q_(15, "day"))
    assert lasting(Q_(14, "day")).m == 20160 and lasting(Q_(2, "hour")).m == pytest.approx(120) and lasting(m(0)).m == 0
