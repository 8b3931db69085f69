"""Small published tables that several tests check against."""

# Weil (1970), Food Cosmet. Toxicol. 8:177: pups weaned / pups alive at four days, one litter each (from memory;
# the sums 142 of 158 and 112 of 145 are those that Rao & Scott 1992, Biometrics 48:577, analyse).
CONTROL_LITTERS = (
    [13, 12, 9, 9, 8, 8, 12, 11, 9, 9, 8, 11, 4, 5, 7, 7],
    [13, 12, 9, 9, 8, 8, 13, 12, 10, 10, 9, 13, 5, 7, 10, 10],
)
TREATED_LITTERS = (
    [12, 11, 10, 9, 10, 9, 9, 8, 8, 4, 7, 4, 5, 3, 3, 0],
    [12, 11, 10, 9, 11, 10, 10, 9, 9, 5, 9, 7, 10, 6, 10, 7],
)

# Tarone (1982), in Gelman et al. (2013), Bayesian Data Analysis, Table 5.1: rats with tumours / rats, one experiment
# each, the current one last.
TUMOURS = [0] * 14 + [1] * 8 + [2] * 9 + [1, 5, 2, 5, 3, 2, 7, 7, 3, 3, 2, 9, 10] + [4] * 7
TUMOURS += [10, 4, 4, 4, 5, 11, 12, 5, 5, 6, 5, 6, 6, 6, 6, 16, 15, 15, 9, 4]
RATS = [20] * 7 + [19] * 4 + [18, 18, 17] + [20] * 4 + [19, 19, 18, 18, 25, 24, 23] + [20] * 6
RATS += [10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13, 48, 50] + [20] * 7
RATS += [48, 19, 19, 19, 22, 46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 47, 46, 24, 14]

# Efron & Morris (1975), J. Am. Stat. Assoc. 70:311: hits in the first 45 at bats of 1970, and the average over the
# rest of the season (from memory).
HITS_OF_45 = [18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7]
REST_OF_SEASON = [0.346, 0.298, 0.276, 0.222, 0.273, 0.270, 0.263, 0.210, 0.269, 0.230, 0.264, 0.256, 0.303, 0.264]
REST_OF_SEASON += [0.226, 0.285, 0.316, 0.200]

# Crowder (1978), Appl. Stat. 27:34: seeds germinated / seeds on a plate, by seed (O. aegyptiaca 75, 73) and whether the
# root extract is cucumber (1) or bean (0) (from memory).
SEEDS_75 = (
    [10, 23, 23, 26, 17, 5, 53, 55, 32, 46, 10],
    [39, 62, 81, 51, 39, 6, 74, 72, 51, 79, 13],
    [0] * 5 + [1] * 6,
)
SEEDS_73 = ([8, 10, 8, 23, 0, 3, 22, 15, 32, 3], [16, 30, 28, 45, 4, 12, 41, 30, 51, 7], [0] * 5 + [1] * 5)

# Dalal, Fowlkes & Hoadley (1989), J. Am. Stat. Assoc. 84:945: launch temperature (F) and damaged rings of six.
LAUNCH_F = [66, 70, 69, 68, 67, 72, 73, 70, 57, 63, 70, 78, 67, 53, 67, 75, 70, 81, 76, 79, 75, 76, 58]
DAMAGED_OF_6 = [0, 1, 0, 0, 0, 0, 0, 0, 1, 1, 1, 0, 0, 2, 0, 0, 0, 0, 0, 0, 2, 0, 1]
