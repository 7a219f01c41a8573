"""Every published figure that a shipped protocol file bears, as its publication gives it.

Written out from the publications, never from the files that it checks; where only a copy or a part
of a publication was seen, `PUBLICATIONS` says so. Figures from memory and common practice are not
here. A figure that is not here may not call itself published.
"""

import re
from collections.abc import Iterator

PUBLICATIONS = {
    "Table 4": "CDC/HICPAC, Guideline for Disinfection and Sterilization in Healthcare "
    "Facilities, 2008",
    "K991487": "FDA 510(k) summary, 1999, of OPA 0.55 %",
    "K081370": "FDA 510(k) summary of a strip for OPA",
    "K082352": "FDA 510(k) summary of another strip for OPA",
    "K974062": "FDA 510(k) summary, 1998, of an activated glutaraldehyde 3.0 %",
    "K172472": "FDA 510(k) summary, 2017, of a strip for glutaraldehyde 1.8 %",
    "K972035": "FDA 510(k) summary, 1997, of a strip for hydrogen peroxide 6.0 %; that its "
    "solution has 7.5 %: K990703, 1999",
    "K080420": "FDA 510(k) summary, 2008, of hydrogen peroxide 2.0 %",
    "K960513": "FDA 510(k) summary, 1997, of a peracetic acid with hydrogen peroxide",
    "K091210": "FDA 510(k) summary, and its row in FDA, Cleared Sterilants and High Level "
    "Disinfectants, December 2023",
    "2016;30:609": "Infectious Disease Clinics of North America, Table 1",
    "Premarket Notification": "FDA, Content and Format of Premarket Notification [510(k)] "
    "Submissions for Liquid Chemical Sterilants/High Level Disinfectants, 3 January 2000",
    "HICPAC audit tool": "companion to Essential Elements of a Reprocessing Program, 2016",
    "Table C-1": "Reference Manual hosted by the IARC Screening Group",
    "(Ontario), p. 43": "Infection Control in the Physician's Office, Table 3",
    "Appendix E": "CDC, Best Practices for Environmental Cleaning in Global Healthcare Facilities "
    "with Limited Resources",
    "CS316270A": "CDC sheet of 15 May 2020",
    "copied in a blog": "an infection prevention manual, as copied in a blog, 26 December 2015",
    "transducer manual, p. 80": "an ultrasound transducer manual",
    "accreditor's pack": "an accreditor's pack of 2015, as summarised",
    "strip maker's tips": "a strip maker's technical tips",
    "safety office": "University of Rochester EHS, disposal protocol for high-level disinfectants",
    "3364-135-028": "a hospital radiology policy, 2017",
    "care manual, p. 8": "an instrument maker's care manual",
    "module 5.4": "Queensland endoscope reprocessing module",
    "vendor's page": "a vendor's page on enzymatic detergents: weak",
    "exam notes": "exam notes: weak",
}
"""What names each publication in a file's source, and which one it is."""

PUBLISHED = """
# disinfectants: soak, strength, life
opa_055  soaks                  device   Table 4
opa_055  contact_time           12 min   Table 4; K991487
opa_055  contact_time_warmer    none     Table 4
opa_055  minimum_temperature_c  20 C     Table 4; K991487
opa_055  maximum_temperature_c  none     Table 4
opa_055  mec                    0.3 %    Table 4; K991487; K081370; K082352
opa_055  activation_needed      no       Table 4
opa_055  activated_life_days    none     Table 4
opa_055  reuse_life_days        14 days  Table 4; K991487
opa_055  shelf                  2 years  Table 4

ga_24  soaks              device   Table 4
ga_24  mec                1.5 %    Table 4; strip maker's tips
ga_24  activation_needed  yes      Table 4
ga_24  shelf              2 years  Table 4

ga_30  soaks                  device   K974062
ga_30  contact_time           25 min   K974062
ga_30  contact_time_warmer    none     K974062
ga_30  minimum_temperature_c  25 C     K974062
ga_30  maximum_temperature_c  none     K974062
ga_30  mec                    1.8 %    K974062; strip maker's tips
ga_30  activation_needed      yes      K974062
ga_30  reuse_life_days        28 days  K974062
ga_30  shelf                  2 years  Table 4

hp_75  soaks                  device      Table 4
hp_75  contact_time           30 min      Table 4; 2016;30:609
hp_75  contact_time_warmer    none        Table 4
hp_75  minimum_temperature_c  20 C        Table 4; 2016;30:609
hp_75  maximum_temperature_c  none        Table 4
hp_75  mec                    6 %         Table 4; K972035
hp_75  strips                 hp_strip_6  K972035
hp_75  activation_needed      no          Table 4
hp_75  activated_life_days    none        Table 4
hp_75  reuse_life_days        21 days     Table 4
hp_75  shelf                  2 years     Table 4
hp_75  disposal               Drain       Table 4

hp_20  soaks                  device   K080420
hp_20  contact_time           8 min    K080420; 2016;30:609
hp_20  contact_time_warmer    none     K080420
hp_20  minimum_temperature_c  20 C     K080420; 2016;30:609
hp_20  maximum_temperature_c  none     K080420
hp_20  mec                    1.5 %    K080420
hp_20  activation_needed      no       K080420
hp_20  activated_life_days    none     K080420
hp_20  reuse_life_days        21 days  K080420

hp_10_paa_008  soaks                  device             K960513
hp_10_paa_008  contact_time           25 min             K960513; 2016;30:609
hp_10_paa_008  contact_time_warmer    none               K960513
hp_10_paa_008  minimum_temperature_c  20 C               K960513
hp_10_paa_008  maximum_temperature_c  none               K960513
hp_10_paa_008  mec                    500 ppm peracetic  K960513
hp_10_paa_008  strips_each_test       3                  K960513
hp_10_paa_008  activation_needed      no                 K960513
hp_10_paa_008  activated_life_days    none               K960513
hp_10_paa_008  shelf                  1 year             K960513

paa_031  soaks                  device    K091210
paa_031  contact_time           7 min     K091210
paa_031  contact_time_warmer    none      K091210
paa_031  minimum_temperature_c  20 C      K091210
paa_031  maximum_temperature_c  none      K091210
paa_031  mec                    2000 ppm  K091210
paa_031  activation_needed      yes       K091210
paa_031  reuse_life_days        5 days    K091210

chlorine_01  soaks                device  Table C-1; (Ontario), p. 43
chlorine_01  contact_time         20 min  Table C-1; (Ontario), p. 43
chlorine_01  contact_time_warmer  none    Table C-1
chlorine_01  mixed_to_percent     0.1 %   Table C-1
chlorine_01  activation_needed    yes     Table C-1
chlorine_01  rinse_water          boiled  Table C-1

chlorine_05  contact_time         20 min  copied in a blog
chlorine_05  contact_time_warmer  none    copied in a blog
chlorine_05  mixed_to_percent     0.5 %   copied in a blog
chlorine_05  activation_needed    yes     Appendix E
chlorine_05  rinse_water          boiled  copied in a blog

chlorine_01 chlorine_05  activated_life_days  1 day  CS316270A
chlorine_01 chlorine_05  reuse_life_days      1 day  CS316270A
chlorine_01 chlorine_05  bath_life            24 h   CS316270A

# disinfectants: test, rinse, disposal
opa_055 ga_24 ga_30 hp_75 hp_20 hp_10_paa_008 paa_031  \
strip_policy  bath_before_each_use  Premarket Notification; HICPAC audit tool
opa_055 ga_24 ga_30 hp_75 hp_20 hp_10_paa_008 paa_031  \
rinse_water  boiled + sterile  Appendix E; transducer manual, p. 80
ga_24 ga_30 hp_75 hp_20 hp_10_paa_008 paa_031  \
rinse_count  3  accreditor's pack
ga_24 ga_30 hp_75 hp_20 hp_10_paa_008 paa_031 chlorine_01 chlorine_05  \
rinse_volume_l  7.6 l  transducer manual, p. 80
ga_24 ga_30 hp_75 hp_20 hp_10_paa_008 paa_031 chlorine_01 chlorine_05  \
rinse_each_for  1 min  transducer manual, p. 80
ga_24 ga_30  neutraliser          glycine    safety office
ga_24 ga_30  neutraliser_g_per_l  26.42 g/l  safety office
ga_24 ga_30  neutralise_for       5 min      safety office

# strips
ga_strip_18  dip_for      2 s         K172472
ga_strip_18  handling     none        K172472
ga_strip_18  read_after   120 s       K172472
ga_strip_18  pass_colour  all purple  K172472
ga_strip_18  fail_colour  yellow      K172472

hp_strip_6  chemistries  hp_75                           K972035
hp_strip_6  handling     upright + 5 s + pad up + cover  K972035
hp_strip_6  read_after   15 min                          K972035
hp_strip_6  pass_colour  all dark                        K972035
hp_strip_6  fail_colour  white                           K972035

opa_strip_1s_90s  dip_for         1 s                                 3364-135-028
opa_strip_1s_90s  open_life_days  90 days                             3364-135-028
opa_strip_1s_90s  qc_positive     3                                   3364-135-028
opa_strip_1s_90s  qc_negative     3                                   3364-135-028
opa_strip_1s_90s  storage         15-30 C + dry + cap tight + 30 min  3364-135-028

# devices and detergent
handheld_probe plastic_probe sealed_probe  \
immersion_line  Plug + cable + dry  transducer manual, p. 80
enzymatic  ml_per_litre          7.8 ml/l  care manual, p. 8
enzymatic  one_batch_per_device  yes       module 5.4; HICPAC audit tool
enzymatic  water_minimum_c       22 C      vendor's page
enzymatic  water_maximum_c       43 C      exam notes
"""
"""Files, key, value, publications. ` + ` stands between words that must all be there."""


def is_said(words: str, sentence: str) -> bool:
    """Whether *sentence* has *words* in it, whole: '2 years' is not said by '12 years'."""
    return re.search(rf"(?<![\w.-]){re.escape(words)}(?!\w)", sentence) is not None


def rows() -> Iterator[tuple[str, str, str, list[str]]]:
    """The table row by row: file, key, value as published, and what its source must name."""
    for line in PUBLISHED.splitlines():
        if line and not line.startswith("#"):
            names, key, value, marks = re.split(" {2,}", line)
            yield from ((name, key, value, marks.split("; ")) for name in names.split())
