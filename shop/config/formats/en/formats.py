"""Dates as on papers and screens, for what Django writes by itself, such as the owner's desk."""

DATE_FORMAT = SHORT_DATE_FORMAT = "Y-m-d"
DATETIME_FORMAT = SHORT_DATETIME_FORMAT = "Y-m-d H:i"
TIME_FORMAT = "H:i"
YEAR_MONTH_FORMAT = "Y-m"
MONTH_DAY_FORMAT = "m-d"
FIRST_DAY_OF_WEEK = 1
DATE_INPUT_FORMATS = ["%Y-%m-%d"]
DATETIME_INPUT_FORMATS = ["%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M", "%Y-%m-%d"]
TIME_INPUT_FORMATS = ["%H:%M:%S", "%H:%M"]
