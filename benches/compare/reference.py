"""Runs the outside solver on one problem and keeps its answer, for `benches/compare`.

    python reference.py TOOLS PROBLEM.json CACHE WORKERS SECONDS

TOOLS is the folder of the reference solver (solve_reference.py, OR-tools CP-SAT), which is no part of this
repository. Prints JSON: solver and version, whether and when the question was closed, and every improved objective
and bound with the processor seconds at which it came. The objective is scored from the plan, since the solver's own
value may be higher; time spent on scoring and on building the model is not counted against the solver.
An answer is kept in CACHE under a digest of problem, tools and settings.
"""
import hashlib
import json
import os
import sys
import threading
import time


def main():
    tools, problem, cache, workers, seconds = sys.argv[1:6]
    workers, seconds = int(workers), float(seconds)
    text = open(problem, "rb").read()
    solver = open(os.path.join(tools, "solve_reference.py"), "rb").read()
    digest = hashlib.sha256(text + b"\0" + solver + f"\0{workers} {seconds}".encode()).hexdigest()[:24]
    kept = os.path.join(cache, digest + ".json")
    if not os.path.exists(kept):
        answer = run(tools, json.loads(text), workers, seconds)
        os.makedirs(cache, exist_ok=True)
        with open(kept + ".new", "w") as file:
            json.dump(answer, file)
        os.replace(kept + ".new", kept)
    print(open(kept).read())


def run(tools, problem, workers, seconds):
    sys.path.insert(0, tools)
    import ortools
    import solve_reference as reference
    from ortools.sat.python import cp_model

    answer = {"solver": f"CP-SAT of OR-tools {ortools.__version__}", "objectives": [], "bounds": []}
    try:
        model = reference.Model(problem)
    except reference.Impossible:
        return answer | {"status": "INFEASIBLE", "seconds": 0.0}
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 0
    begun, scoring = time.process_time(), [0.0]

    def spent():
        return time.process_time() - begun - scoring[0]

    class Improved(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self):
            at, before = spent(), time.thread_time()
            starts, who, _ = model.solution(self)
            answer["objectives"].append((round(at, 3), sum(model.score(self, starts, who).values())))
            scoring[0] += time.thread_time() - before

    def watch():
        while not done.wait(0.02):
            if spent() >= seconds:
                solver.stop_search()

    done = threading.Event()
    solver.best_bound_callback = lambda bound: answer["bounds"].append((round(spent(), 3), int(bound)))
    watcher = threading.Thread(target=watch)
    watcher.start()
    status = solver.solve(model.m, Improved())
    answer["seconds"] = round(spent(), 3)
    done.set()
    watcher.join()
    answer["status"] = solver.status_name(status)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        starts, who, _ = model.solution(solver)
        answer["objectives"].append((answer["seconds"], sum(model.score(solver, starts, who).values())))
        answer["bounds"].append((answer["seconds"], int(solver.best_objective_bound)))
    return answer


if __name__ == "__main__":
    main()
