#pragma once
// How many threads a run uses, and how they wait for each other.
// gcc's OpenMP threads wait at the end of each loop by spinning for milliseconds. On a machine that
// has other work too they spin away the very time slices in which the thread waited for could run:
// ten to a hundred times slower, measured. Threads that spin for some 10 us and then sleep lose
// nothing on an idle machine.
// Checked by tests/unit/scenarios/threads_test.cpp.

#include <string>

namespace holdground {

/// Cores this process may use: the least of its affinity and its control group's share; at least 1.
int availableCores();

/// Sets the number of threads of the loops to come. @param wished  0: what OMP_NUM_THREADS says,
/// else the available cores. Returns a warning when there are more threads than cores, or "".
/// SystemError when that many cannot be started; OpenMP itself would only end the program.
std::string useThreads(int wished);

/// Starts the program once more, by the same name and arguments, with threads that do not spin for
/// long; OpenMP reads its settings before main. Returns when that is already so, when the
/// environment says otherwise (OMP_WAIT_POLICY, GOMP_SPINCOUNT), or when it cannot be done.
void restartWithPatientThreads(char** arguments);

}  // namespace holdground
