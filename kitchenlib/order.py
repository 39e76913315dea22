"""Order of work: what starts when, so that everything is right at one moment, the service.

A `Step` lasts and holds hands and burners. A `Link` says how long after one step has ended another begins, at least and at most. Links are
difference constraints: the longest path gives earliest and latest starts, and a round trip that comes out longer than nothing is a clash. Hands
and burners are shared out by putting steps that cannot run together one after the other.
"""
import math
import re
from collections import namedtuple
from typing import NamedTuple

import numpy as np

from .units import OutOfRange, Q_, boundary, nearest

SERVICE = "service"                                          # the moment at which the plates leave: what links speak of as a step
EXHAUSTIVE = 8                                               # so many steps are searched to the end
DAY = 14 * 24 * 60                                           # min: no step or window is longer, our limit
HAIR = 1e-6                                                  # s
MEANS = ("hands", "burners")
# then starts at least `weight` seconds after first starts; most: it is the window of `then` that says so
Edge = namedtuple("Edge", "first then weight why most", defaults=(False,))


@boundary("min", time="min", valid={"time": (0, DAY)})
def lasting(time):
    """How long a step or a window lasts, as the order of work takes it.

    time [min], 0 to 20,160 (two weeks, our limit); returns it.  Source: definition.
    """
    return time


class Step(NamedTuple):
    """A piece of work that is not interrupted. hands: pairs of hands it holds all the time, 0 for what goes by itself."""
    key: str
    time: object                 # Quantity
    hands: int = 1
    burners: int = 0


class Link(NamedTuple):
    """`then` begins at least and at most so long after `first` has ended; most None leaves it open. then may be SERVICE."""
    first: str
    then: str
    least: object = Q_(0.0, "min")
    most: object = None
    why: str = ""


class Plan(NamedTuple):
    """Starts in min before (below 0) the service. Where nothing was found, starts are None and words say what clashes or that none was found."""
    steps: tuple
    links: tuple
    people: int
    burners: int
    latest: object               # (n,) each step as late as it can be in this order
    earliest: object             # (n,) as early as it can be in this order, once the kitchen is open
    who: tuple                   # of each step: which pairs of hands it holds, (0,) the first cook
    found: bool
    proven: bool                 # not found: whether it is impossible; found: whether no later first start is possible
    clash: tuple                 # the links that cannot all hold, as (first, then, sentence)
    words: str
    network: tuple = ()          # edges and lengths, for `slip`

    @property
    def lead(self):
        """From the first start to the service [min]."""
        return -self.latest.min()

    @property
    def slack(self):
        """How long each step can wait [min]."""
        return self.latest - self.earliest


# --- links as a network ----------------------------------------------------------------------------------------------------------------
def _network(steps, links):
    """(edges, lengths): all constraints as edges between starts; node n is the service."""
    at, lengths = {SERVICE: len(steps)}, [lasting(step.time).m_as("s") for step in steps]
    for i, step in enumerate(steps):
        if step.key in at:
            raise ValueError(f"two steps are called {step.key!r}: give each a name of its own" if step.key != SERVICE else
                             f"{SERVICE!r} is the moment the plates leave: call the step something else")
        at[step.key] = i
    for link in links:
        for key in (link.first, link.then):
            if key not in at or key == SERVICE == link.first:
                near = nearest(key, [step.key for step in steps])
                raise LookupError(f"{key!r} is no step" + (f"; {near}?" if near else f": they are {', '.join(list(at)[1:])}"))
    _circle(steps, links)
    edges = [Edge(i, len(steps), lengths[i], f"{step.key} ends before the service") for i, step in enumerate(steps)]
    for link in links:
        i, j = at[link.first], at[link.then]
        least, why = lasting(link.least).m_as("s"), f" ({link.why})" if link.why else ""
        after = f"{minutes(link.least)} or more after" if least else "after"
        edges.append(Edge(i, j, lengths[i] + least, f"{link.then} comes {after} {link.first}" + ("" if link.most else why)))
        if link.most is not None:
            edges.append(Edge(j, i, -lengths[i] - lasting(link.most).m_as("s"),
                              f"{link.then} begins at most {minutes(link.most)} after {link.first} has ended{why}", True))
    return edges, np.array(lengths)


def _since(time, why, n):
    """Edges that let no step start longer than `time` [s] before the service."""
    return [Edge(n, i, -time, why) for i in range(n)]


def _circle(steps, links):
    """ValueError that names the steps of a circle, each of which waits for the next."""
    after, done = {step.key: [link.first for link in links if link.then == step.key] for step in steps}, set()
    for start in after:
        path, ahead = [start], [iter(after[start])]
        while ahead:
            key = next(ahead[-1], None)
            if key is None:
                done.add(path.pop())
                ahead.pop()
            elif key in path:
                raise ValueError("these steps wait for each other in a circle: " +
                                 " waits for ".join([*path[path.index(key):], key]) + ". Take one `after` out.")
            elif key not in done:
                path.append(key)
                ahead.append(iter(after[key]))


def _longest(edges, size):
    """(size, size) least time from start to start, -inf where nothing binds; a number above 0 on the diagonal is a clash."""
    far = np.full((size, size), -np.inf)
    np.fill_diagonal(far, 0.0)
    for i, j, weight, *_ in edges:
        far[i, j] = max(far[i, j], weight)
    for k in range(size):
        np.maximum(far, far[:, k, None] + far[k], out=far)
    return far


def _posted(far, i, j, weight):
    """The same with one edge more; the caller has seen that it makes no clash."""
    return np.maximum(far, (far[:, i] + weight)[:, None] + far[j])


def _cycle(edges, size):
    """(edges of a round trip that is longer than nothing, by how much [s]); the caller knows that there is one."""
    length, last = np.zeros(size), [None] * size
    for _ in range(size + 1):
        moved = None
        for edge in edges:
            if length[edge.first] + edge.weight > length[edge.then] + HAIR:
                length[edge.then], last[edge.then], moved = length[edge.first] + edge.weight, edge, edge.then
    for _ in range(size):
        moved = last[moved].first
    found = [last[moved]]
    while found[0].first != moved:
        found.insert(0, last[found[0].first])
    return found, sum(edge.weight for edge in found)


def minutes(time):
    """'6 min', '2.5 min', '95 min' of a Quantity: what a timeline prints."""
    return f"{round(time.m_as('min'), 1):g} min"


def _minutes(seconds):
    return minutes(Q_(seconds / 60, "min"))


def clock(minutes, at):
    """'17:19' of so many bare minutes before (below 0) or after a service at '19:30', rounded down. ValueError where that is no time of a day."""
    found = re.fullmatch(r"\s*([01]?[0-9]|2[0-3]):([0-5][0-9])\s*", str(at))
    if not found:
        raise ValueError(f"the time of the service is written like 19:30, not {str(at)[:40]!r}")
    now = math.floor(60 * int(found[1]) + int(found[2]) + minutes + 1e-6) % 1440
    return f"{now // 60}:{now % 60:02d}"


def rows(starts, ends, holds):
    """The lowest rows of a timeline that are free for each bar: (n,) tuples. starts, ends: (n,) bare numbers; holds: (n,) how many rows each takes."""
    free, found = [], [()] * len(starts)
    for i in sorted(range(len(starts)), key=lambda i: (starts[i], ends[i])):
        taken = [k for k, at in enumerate(free) if at <= starts[i] + HAIR][:holds[i]]
        taken += range(len(free), len(free) + holds[i] - len(taken))
        free += [-np.inf] * (max(taken, default=-1) + 1 - len(free))
        for k in taken:
            free[k] = ends[i]
        found[i] = tuple(taken)
    return found


def _told(cycle, over):
    turn = next((k for k, edge in enumerate(cycle, 1) if edge.most), 0)          # the window stands last
    return f"{'; '.join(edge.why for edge in (*cycle[turn:], *cycle[:turn]))}: together {_minutes(over)} too long"


# --- hands and burners -----------------------------------------------------------------------------------------------------------------
def _overload(starts, lengths, needs, limits):
    """The fewest steps that together want more than there is, at the last such moment; None where all is well. starts: (n,) [s]."""
    worst, found = -np.inf, None
    for need, limit in zip(needs, limits):
        running = (starts <= starts[:, None] + HAIR) & (starts + lengths > starts[:, None] + HAIR)
        over = running @ need > limit
        if over.any():
            at = np.where(over, starts, -np.inf).argmax()
            if starts[at] > worst:
                together = sorted(np.flatnonzero(running[at] & (need > 0)), key=lambda i: (-need[i], -starts[i]))
                total, worst, found = 0, starts[at], []
                while total <= limit:
                    found.append(together[len(found)])
                    total += need[found[-1]]
    return found


def _search(far, lengths, needs, limits, bound, gain, nodes, best=np.inf, jitter=None, roomy=False):
    """(far of the plan with the shortest lead found, None where none; whether the search came to its end).

    Depth first: as late as the links allow; where that wants more hands than there are, one of the steps goes wholly before another. In
    any plan some pair of an overload is apart, so that the search to its end finds the best plan or shows that there is none.
    """
    n, kept, stack, seen = len(lengths), None, [(far, -1, -1)], set()
    while stack and nodes > 0:
        before, i, j = stack.pop()
        if i >= 0:
            if before[:n, i].max() + lengths[i] + before[j, n] > best - gain:
                continue
            before = _posted(before, i, j, lengths[i])
        mark = before.tobytes()                              # other turns may have led to the same order
        if mark in seen:
            continue
        seen.add(mark)
        nodes -= 1
        if before[:n, n].max() > best - gain:
            continue
        crowd = _overload(-before[:n, n], lengths, needs, limits)
        if crowd is None:
            best, kept = before[:n, n].max(), before
            if best <= bound + HAIR:
                return kept, True
            continue
        head = before[:n].max(axis=0)
        ways = [(head[i] + lengths[i] + before[j, n], lengths[i] + before[j, i], i, j) for i in crowd for j in crowd if i != j]
        ways = [way for way in ways if way[1] <= HAIR]
        if jitter is not None:                               # a go that lists by the room left for windows, or by the lead, shaken a little
            ways = [(room + jitter.uniform(0, 0.1) * head.max() if roomy else lead * jitter.uniform(1, 1.1), 0, i, j) for lead, room, i, j in ways]
        stack += [(before, i, j) for _, _, i, j in sorted(ways, reverse=True)]
    return kept, not stack


def _crowded(far, steps, lengths, needs, limits):
    """Sentence where the last minutes want more work than there are hands for, by the windows alone; None where they do not."""
    n = len(steps)
    for need, limit, name in zip(needs, limits, MEANS):
        reach = -far[n, :n]                                  # no step starts longer before the service than this
        for span in sorted(set(reach[np.isfinite(reach)])):
            inside = np.flatnonzero((reach <= span + HAIR) & (need > 0) & (lengths > 0))
            work = float(lengths[inside] @ need[inside])
            if work > span * limit + HAIR:
                kinds = {}
                for i in inside:                             # 'lift 1 of 4' and its like together
                    kind = re.sub(r" \d+ of \d+$", "", steps[i].key)
                    kinds[kind] = kinds.get(kind, 0.0) + lengths[i] * need[i]
                each = ", ".join(f"{kind} {_minutes(time)}" for kind, time in kinds.items())
                return (f"The last {_minutes(span)} before the service want {_minutes(work)} of {name} ({each}); "
                        f"{limit} {name if limit != 1 else name[:-1]} {'have' if limit != 1 else 'has'} {_minutes(span * limit)}.")
    return None


def _pair(far, edges, steps, lengths, needs, limits):
    """(first, then, sentence) of two steps that can neither run together nor one after the other; None where there are none."""
    n = len(steps)
    for i in range(n):
        for j in range(i):
            if all(need[i] + need[j] <= limit for need, limit in zip(needs, limits)):
                continue
            if min(lengths[i] + far[j, i], lengths[j] + far[i, j]) > HAIR and min(lengths[i], lengths[j]) > 0:
                both = [_told(*_cycle([*edges, Edge(a, b, lengths[a], f"{steps[a].key} goes before {steps[b].key}")], n + 1)) for a, b in ((j, i), (i, j))]
                return (steps[j].key, steps[i].key, f"{steps[j].key} and {steps[i].key} want the same hands or burner and cannot follow each other. "
                        f"{both[0]}. Or the other way round: {both[1]}.")
    return None


def _shared_out(starts, lengths, need, limit):
    """Which of `limit` pairs of hands each step holds; each goes to the hands that became free last."""
    free, held = [-np.inf] * limit, [()] * len(starts)
    for i in sorted(np.flatnonzero((need > 0) & (lengths > 0)), key=lambda i: (starts[i], i)):
        idle = sorted((k for k in range(limit) if free[k] <= starts[i] + HAIR), key=lambda k: (-free[k], k))
        held[i] = tuple(sorted(idle[:need[i]]))
        for k in held[i]:
            free[k] = starts[i] + lengths[i]
    return tuple(held)


def _handed_on(held, starts, lengths, steps):
    """Edges from each step to the next that takes over one of its pairs of hands (or burners)."""
    last = {}
    for i in sorted(range(len(starts)), key=lambda i: (starts[i], i)):
        for k in held[i]:
            if k in last:
                yield Edge(last[k], i, lengths[last[k]], f"{steps[i].key} waits for the hands of {steps[last[k]].key}")
            last[k] = i


# --- the plan --------------------------------------------------------------------------------------------------------------------------
def plan(steps, links=(), people=1, burners=0, opens=None):
    """An order of work in which all links hold and nobody has more hands than two.

    Parameters
    ----------
    steps, links : of Step and Link; every step ends before the service
    people, burners : pairs of hands and burners there are, whole numbers, 0 to 100
    opens : how long before the service the kitchen opens [time], 0 to two weeks; left out: early enough

    Returns
    -------
    Plan. Up to EXHAUSTIVE steps the search goes to its end: the shortest time from first start to service, or none is possible. Beyond,
    steps are listed by what they lengthen, with a few goes: a good plan, or 'no plan found', which proves nothing.

    Raises
    ------
    ValueError, LookupError
        Steps in a circle (named), two of one name, none at all; a link to a step that does not exist.
    OutOfRange, TypeError, pint.DimensionalityError
        A time that is none; people or burners no whole number.

    Source
    ------
    Longest path and negative cycle of difference constraints; branching on pairs of an overload: bartusch-1988.
    """
    steps, links, limits = tuple(steps), tuple(links), (people, burners)
    if not steps:
        raise ValueError("a plan needs at least one step")
    for name, count in [*zip(("people", "burners"), limits), *((f"{name} of {s.key}", getattr(s, name)) for s in steps for name in MEANS)]:
        if isinstance(count, bool) or not isinstance(count, (int, np.integer)) or not 0 <= count <= 100:
            raise OutOfRange(f"{name} is a whole number from 0 to 100, not {str(count)[:40]!r}")
    edges, lengths = _network(steps, links)
    n, needs = len(steps), np.array([[getattr(step, name) for step in steps] for name in MEANS])

    def none(words, proven=True, clash=()):
        return Plan(steps, links, people, burners, None, None, (), False, proven, clash, words)

    for need, limit, name in zip(needs, limits, MEANS):
        if need.max() > limit and lengths[need.argmax()] > 0:
            return none(f"{steps[need.argmax()].key} wants {need.max()} {name}; there {'is' if limit == 1 else 'are'} {limit or 'none'}.")
    opened = [] if opens is None else _since(lasting(opens).m_as("s"), f"the kitchen opens {minutes(opens)} before the service", n)
    far = _longest(edges + opened, n + 1)
    if far.diagonal().max() > HAIR:
        cycle, over = _cycle(edges + opened, n + 1)
        names = [*(step.key for step in steps), SERVICE]
        return none(f"A clash that no hands can mend. {_told(cycle, over)}.", clash=tuple((names[e.first], names[e.then], e.why) for e in cycle))
    crowded, pair = _crowded(far, steps, lengths, needs, limits), _pair(far, edges + opened, steps, lengths, needs, limits)
    if crowded or pair:
        return none(" ".join(filter(None, (crowded, pair and pair[2]))), clash=(pair,) if pair else ())
    bound = max(far[:n, n].max(), *(float(lengths @ need) / max(limit, 1) for need, limit in zip(needs, limits)))
    whole = np.rint([edge.weight for edge in edges + opened])
    gain = float(np.gcd.reduce(whole.astype(int))) if all(abs(edge.weight - w) < HAIR for edge, w in zip(edges + opened, whole)) else 0.0
    if gain:                                                 # any lead is a sum of these times
        bound = gain * math.ceil(bound / gain - HAIR)
    gain = max(gain - HAIR, HAIR)
    best, proven = _goes(far, lengths, needs, limits, bound, gain)
    if n <= EXHAUSTIVE and not proven:
        better, proven = _search(far, lengths, needs, limits, bound, gain, math.inf, math.inf if best is None else best[:n, n].max())
        best = best if better is None else better
    if best is None:
        return none("With these hands and burners no order keeps all windows." if proven else "No plan found: that does not prove that there is none.", proven)
    starts = -best[:n, n]
    held = [_shared_out(starts, lengths, need, limit) for need, limit in zip(needs, limits)]
    edges += [edge for hold in held for edge in _handed_on(hold, starts, lengths, steps)]
    far = _longest(edges + (opened or _since(-starts.min(), "", n)), n + 1)      # else nothing before the planned first start
    first = steps[int(starts.argmin())].key
    words = f"Start with {first}, {_minutes(-starts.min())} before the service{'' if proven else '; a later start may be possible, none was found'}."
    return Plan(steps, links, people, burners, Q_(starts / 60, "min"), Q_(far[n, :n] / 60, "min"), held[0], True, proven, (), words, (edges, lengths))


PASSES, NODES = 8, 3                                         # goes, and nodes of one go for each step: 40 steps in about 0.1 s


def _goes(far, lengths, needs, limits, bound, gain):
    """`_search` in a few goes that differ a little in their lists; the same on every machine."""
    best, lead, n = None, np.inf, len(lengths)
    for go in range(PASSES):
        jitter = np.random.default_rng(go) if go else None
        found, ended = _search(far, lengths, needs, limits, bound, gain, NODES * n, lead, jitter, go % 2 == 1)
        if found is not None:
            best, lead = found, found[:n, n].max()
        if ended:
            return best, True
    return best, False


# --- when something slips ----------------------------------------------------------------------------------------------------------------
class Slip(NamedTuple):
    """What becomes of a plan when one step takes so much longer. late: the service [min]; broken: (first, then, too long by [min], why);
    starts: (n,) of the steps, before the service as it was planned [min]."""
    step: str
    late: object
    broken: tuple
    words: str
    starts: object


def slip(plan, key, by=Q_(10, "min"), early=False):
    """What breaks if one step takes longer by so much: what has begun stays, what has not moves on, in the same order.

    Parameters
    ----------
    plan : a Plan that was found
    key : the step
    by : how much longer it takes [time], 0 to two weeks
    early : whether everything was begun as early as the plan allows, else as late

    Returns
    -------
    Slip

    Raises
    ------
    LookupError, ValueError, OutOfRange
        No such step; no plan; no time.

    Source
    ------
    Longest path with the starts so far held fast.
    """
    keys = [step.key for step in plan.steps]
    if key not in keys:
        near = nearest(key, keys)
        raise LookupError(f"{key!r} is no step" + (f"; {near}?" if near else f": they are {', '.join(keys)}"))
    if not plan.found:
        raise ValueError("there is no plan that could slip")
    edges, lengths = plan.network
    n, k, more = len(keys), keys.index(key), lasting(by).m_as("s")
    starts = np.append((plan.earliest if early else plan.latest).m_as("s"), 0.0)
    begun = np.append(starts[:n] < starts[k] + lengths[k] - HAIR, False)
    begun[k] = True
    edges = [edge._replace(weight=edge.weight + (-more if edge.most else more)) if (edge.then if edge.most else edge.first) == k else edge
             for edge in edges]
    moved = True
    while moved:
        moved = False
        for edge in edges:
            if not begun[edge.then] and starts[edge.first] + edge.weight > starts[edge.then] + HAIR:
                starts[edge.then], moved = starts[edge.first] + edge.weight, True
    over = {edge: starts[edge.first] + edge.weight - starts[edge.then] for edge in edges if edge.most}
    names = [*keys, SERVICE]
    broken = tuple((names[edge.then], names[edge.first], Q_(time / 60, "min"), edge.why) for edge, time in over.items() if time > HAIR)
    late = Q_(starts[n] / 60, "min")
    told = [f"the service is {minutes(late)} late" if late.m > HAIR else "the service is not late",
            *(f"{first} waits {minutes(time)} too long ({why})" for first, _, time, why in broken)]
    return Slip(key, late, broken, f"If {key} takes {minutes(by)} longer, {'; '.join(told)}.", Q_(starts[:n] / 60, "min"))
